import { expect, test } from "vitest";
import { takeoverSuspicion } from "../../../collector/source/takeover-suspicion.ts";

const minuteMs = 60_000;

test("MQTT 5 says it, so one word of the broker is enough", () => {
  expect(takeoverSuspicion().look("taken-over", 0)).toBe(true);
});

test("three connections in a row that the broker ended within minutes are a second client's doing", () => {
  const suspicion = takeoverSuspicion();
  expect([0, 1, 2, 3].map((minute) => suspicion.look("broker", minute * minuteMs * 0.8))).toEqual([
    false,
    false,
    true,
    true,
  ]);
});

test("a broker that cannot be reached in between was restarted, and one that ends us now and then is only that", () => {
  const restarted = takeoverSuspicion();
  for (const by of ["broker", "broker", "trouble", "broker", "broker"] as const) {
    expect(restarted.look(by, 0), by).toBe(false);
  }
  const seldom = takeoverSuspicion();
  for (let hour = 0; hour < 10; hour++) expect(seldom.look("broker", hour * 60 * minuteMs)).toBe(false);
});
