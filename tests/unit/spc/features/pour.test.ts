import { expect, test } from "vitest";
import { pourT1 } from "../../../../spc/features/pour-t1.ts";
import { pourTime } from "../../../../spc/features/pour-time.ts";
import { altered, codeOf, numberOf, pourTrace, runOf, traceOf } from "./traces.ts";

const [first, time] = [pourT1({}), pourTime({})];

test("the first metal is the highest of the running median over the first 2 s", () => {
  // Without ripple the stream only falls, 0.4 K/s: the first median of three is the reading at 0.1 s.
  expect(numberOf(first.extract(pourTrace(750, 0)))).toBeCloseTo(749.96, 9);
});

test("a single spike is not the first metal, and a hotter stream after 2 s is not either", () => {
  const clean = numberOf(first.extract(pourTrace()));
  const spiked = altered(pourTrace(), "stream", (one, tS) => (tS === 1 ? { ...one, value: 900 } : one));
  expect(Math.abs(numberOf(first.extract(spiked)) - clean)).toBeLessThan(1);
  const later = altered(pourTrace(), "stream", (one, tS) => (tS >= 2 ? { ...one, value: one.value! + 50 } : one));
  expect(numberOf(first.extract(later))).toBe(clean);
});

test("first metal keeps its number with 2 of 20 readings missing and is refused with 3", () => {
  const lacking = (...places: number[]) =>
    altered(pourTrace(), "stream", (one, tS) => (places.includes(Math.round(tS * 10)) ? null : one));
  expect(first.extract(lacking(7, 12)).ok).toBe(true);
  expect(codeOf(first.extract(lacking(7, 12, 15)))).toBe("coverage-too-low");
  expect(codeOf(first.extract(lacking(0, 1, 2)))).toBe("coverage-too-low");
});

test("a stream that was never seen, stands still or is not there is refused", () => {
  expect(codeOf(first.extract(altered(pourTrace(), "stream", () => null)))).toBe("coverage-too-low");
  expect(codeOf(first.extract(altered(pourTrace(), "stream", (one) => ({ ...one, value: 750 }))))).toBe("signal-stuck");
  expect(codeOf(first.extract(traceOf(runOf(11), {})))).toBe("role-missing");
});

test("a pour shorter than 2 s has no first metal, one that was cut short after 2 s has", () => {
  expect(codeOf(first.extract({ ...pourTrace(), run: runOf(1.9) }))).toBe("segment-too-short");
  expect(first.extract({ ...pourTrace(), run: runOf(6, [], "gap") }).ok).toBe(true);
});

test("the width of the median follows the spacing of the readings, three at least and odd", () => {
  const slow = { ...pourTrace(750, 0), everyMs: { stream: 100 } };
  const wide = numberOf(pourT1({ filter: 0.7 }).extract(slow));
  // The first median of seven stands at 0.3 s.
  expect(wide).toBeCloseTo(750 - 0.12, 9);
  expect(numberOf(pourT1({ filter: 0.01 }).extract(slow))).toBeCloseTo(749.96, 9);
  expect(codeOf(pourT1({ filter: 3 }).extract(slow))).toBe("too-few-samples");
});

test("pour time is that of the marker", () => {
  expect(numberOf(time.extract(traceOf(runOf(11.35), {})))).toBe(11.35);
});

test.each(["timeout", "gap"] as const)("a pour closed by %s has no pour time", (closedBy) => {
  expect(codeOf(time.extract(traceOf(runOf(120, [], closedBy), {})))).toBe("run-cut-short");
});
