import { expect, test } from "vitest";
import { pace } from "../../../simulator/pace.ts";

const from = 1_000_000;
const hour = 3_600_000;

test("as fast as it goes, long windows up to the end, the last one short", () => {
  const clock = pace("max", from, from + 50_000, 0);
  expect(clock.next(from, 0)).toEqual({ kind: "send", toMs: from + 20_000 });
  expect(clock.next(from + 49_500, 0)).toEqual({ kind: "send", toMs: from + 50_000 });
});

test("live, the past goes out in long windows and the present second by second", () => {
  const clock = pace("live", from, Number.POSITIVE_INFINITY, 0);
  expect(clock.next(from, from + hour)).toEqual({ kind: "send", toMs: from + 20_000 });
  expect(clock.next(from + hour - 1000, from + hour)).toEqual({ kind: "send", toMs: from + hour });
  expect(clock.next(from + hour, from + hour + 300)).toEqual({ kind: "wait", ms: 700 });
});

test("ten times the clock is ten simulated seconds a second", () => {
  const clock = pace(10, from, Number.POSITIVE_INFINITY, 500_000);
  expect(clock.next(from, 500_000)).toEqual({ kind: "wait", ms: 100 });
  expect(clock.next(from, 500_100)).toEqual({ kind: "send", toMs: from + 1000 });
  expect(clock.next(from, 503_000)).toEqual({ kind: "send", toMs: from + 20_000 });
});
