import { expect, test } from "vitest";
import { watermarks } from "../../../collector/pipeline/watermark.ts";

const now = Date.UTC(2026, 10, 25, 8, 0, 0);
const at = (ms: number): ReadonlyMap<string, number> => new Map([["GW", ms]]);

/** Looks once a second, as the pipeline does, while nothing new comes. */
function quiet(marks: ReturnType<typeof watermarks>, newestMs: number, fromMs: number, seconds: number): number {
  let nowMs = fromMs;
  for (let second = 0; second < seconds; second += 1) {
    nowMs += 1_000;
    marks.observe(at(newestMs), nowMs);
  }
  return nowMs;
}

test("a source is complete up to lateness behind its newest reading, and that never goes back", () => {
  const marks = watermarks(5_000);
  marks.observe(new Map(), now);
  expect(marks.of("GW")).toBeNull();
  marks.observe(at(now), now);
  expect(marks.of("GW")).toBe(now - 5_000);
  marks.observe(at(now + 700), now + 700);
  expect(marks.of("GW")).toBe(now - 4_300);
  marks.observe(at(now), now + 900);
  expect(marks.of("GW")).toBe(now - 4_300);
});

test("a source that pauses for as long as lateness is complete up to its newest reading", () => {
  const marks = watermarks(5_000);
  marks.observe(new Map(), now);
  marks.observe(at(now), now);
  const later = quiet(marks, now, now, 4);
  expect(marks.of("GW")).toBe(now - 5_000);
  quiet(marks, now, later, 1);
  expect(marks.of("GW")).toBe(now + 1);
});

test("a source known from before a start gets longer to come back and send again", () => {
  const marks = watermarks(5_000);
  marks.observe(at(now), now);
  const later = quiet(marks, now, now, 19);
  expect(marks.of("GW")).toBe(now - 5_000);
  quiet(marks, now, later, 1);
  expect(marks.of("GW")).toBe(now + 1);
});

test("time in which we did not look is no silence of the source", () => {
  const marks = watermarks(5_000);
  marks.observe(new Map(), now);
  marks.observe(at(now), now);
  marks.observe(at(now), now + 60_000);
  expect(marks.of("GW")).toBe(now - 5_000);
});

test("a source that sends what is older than 15 minutes is catching up, until it is up to date or stops", () => {
  const marks = watermarks(5_000);
  marks.observe(at(now - 7_200_000), now);
  expect(marks.catchingUp("GW", now)).toBe(false);
  marks.observe(at(now - 7_000_000), now);
  expect(marks.catchingUp("GW", now)).toBe(true);
  marks.observe(at(now - 60_000), now);
  expect(marks.catchingUp("GW", now)).toBe(false);
  const stopped = watermarks(5_000);
  stopped.observe(new Map(), now);
  stopped.observe(at(now - 7_000_000), now);
  const later = quiet(stopped, now - 7_000_000, now, 30);
  expect(stopped.catchingUp("GW", later)).toBe(false);
});
