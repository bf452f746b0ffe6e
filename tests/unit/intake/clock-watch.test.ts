import { expect, test } from "vitest";
import { clockWatch } from "../../../collector/intake/clock-watch.ts";

const minuteMs = 60_000;
const hourMs = 60 * minuteMs;
const startMs = Date.parse("2026-11-25T08:00:00Z");

/** What is found after so many minutes of a message a second, each with the time that it took from reading to arrival. */
function offsetAfter(minutes: number, tookMs: (second: number) => number): number | undefined {
  const watch = clockWatch();
  for (let second = 0; second < minutes * 60; second++) {
    const arrivedMs = startMs + second * 1_000;
    watch.note("GW-PR", arrivedMs - tookMs(second), arrivedMs);
  }
  return watch.offsetsMs().get("GW-PR");
}

/** Delays on the way: mostly short, now and then seconds, the same each time. */
const delay = (second: number): number => 40 + ((second * 7919) % 900) + (second % 11 === 0 ? 4_000 : 0);

test("a right clock is found right, whatever the delays on the way", () => {
  expect(Math.abs(offsetAfter(5, delay) ?? Number.NaN)).toBeLessThan(150);
});

test.each([
  ["5 min behind", 5 * minuteMs],
  ["2 min ahead", -2 * minuteMs],
  ["an hour behind, as at the end of summer time", hourMs],
  ["20 s ahead", -20_000],
])("a clock that is %s is found so within 4 minutes, and not before 3", (_, offMs) => {
  expect(offsetAfter(2.9, (second) => offMs + delay(second))).toBeUndefined();
  expect(Math.abs((offsetAfter(4.1, (second) => offMs + delay(second)) ?? Number.NaN) + offMs)).toBeLessThan(150);
});

test.each([
  ["at twice the speed", (second: number) => Math.max(0, 2 * hourMs - second * 1_000)],
  ["a twentieth faster than it grows", (second: number) => 2 * hourMs - second * 50],
  ["while we fall behind", (second: number) => second * 200],
])("a backlog that comes %s is no clock", (_, tookMs) => {
  for (let minutes = 1; minutes < 12; minutes++) {
    const found = offsetAfter(minutes, tookMs) ?? 0;
    expect(Math.abs(found), `after ${minutes} min`).toBeLessThan(5_000);
  }
});

test("a backlog that comes in bursts, each of them all at once, is no clock", () => {
  const watch = clockWatch();
  let readingMs = startMs - 2 * hourMs;
  for (let burst = 0; burst < 20; burst++) {
    const arrivedMs = startMs + burst * 100_000;
    for (; readingMs < startMs - 2 * hourMs + (burst + 1) * 300_000; readingMs += 1_000) {
      watch.note("GW-PR", readingMs, arrivedMs);
    }
    expect(watch.offsetsMs().get("GW-PR")).toBeUndefined();
  }
});

test("a backlog sent between live readings hides nothing and accuses nobody", () => {
  const mixed = (offMs: number) => (second: number) =>
    second % 3 === 0 ? offMs + 100 : offMs + 3 * hourMs - second * 900;
  expect(Math.abs(offsetAfter(6, mixed(0)) ?? Number.NaN)).toBeLessThan(200);
  expect(Math.abs((offsetAfter(6, mixed(5 * minuteMs)) ?? Number.NaN) + 5 * minuteMs)).toBeLessThan(200);
});

test("one reading stamped far ahead is a slip, no clock", () => {
  const slip = (second: number): number => (second === 130 ? -3 * minuteMs : 100);
  for (const minutes of [3, 4, 5]) expect(Math.abs(offsetAfter(minutes, slip) ?? 0)).toBeLessThan(5_000);
});

test("a recording of last week, played at its own speed, is no clock either", () => {
  expect(offsetAfter(6, () => 7 * 24 * hourMs)).toBeUndefined();
});

test("a clock that was set right is found right, and sources are told apart", () => {
  const watch = clockWatch();
  for (let second = 0; second < 12 * 60; second++) {
    const arrivedMs = startMs + second * 1_000;
    watch.note("GW-AO", arrivedMs - (second < 360 ? 5 * minuteMs : 50), arrivedMs);
    watch.note("GW-PR", arrivedMs - 50, arrivedMs);
  }
  expect(Object.fromEntries(watch.offsetsMs())).toEqual({ "GW-AO": -50, "GW-PR": -50 });
});

test("when our own clock is set back all begins anew", () => {
  const watch = clockWatch();
  const run = (fromMs: number, seconds: number) => {
    for (let second = 0; second < seconds; second++) {
      const arrivedMs = fromMs + second * 1_000;
      watch.note("GW-PR", arrivedMs - 50, arrivedMs);
    }
  };
  run(startMs, 300);
  run(startMs - hourMs, 100);
  expect(watch.offsetsMs().get("GW-PR")).toBeUndefined();
  run(startMs - hourMs + 100_000, 200);
  expect(watch.offsetsMs().get("GW-PR")).toBe(-50);
});
