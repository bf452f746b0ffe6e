import { expect, test } from "vitest";
import { measured } from "../../../../spc/features/measured.ts";
import { timeAboveLevel } from "../../../../spc/features/time-above-level.ts";
import { altered, codeOf, numberOf, readingsOf, runOf, traceOf } from "./traces.ts";

const ramp = traceOf(runOf(100, [["cook", 20, 80]]), { t: [1000, readingsOf("t", 0, 100, 1000, (tS) => tS)] });
const of = (take: "mean" | "median" | "highest" | "lowest", more: { segment?: string; lastS?: number } = {}) =>
  measured({ id: "px.t", unit: "Cel", role: "t", take, ...more })({});

test("one measure of one stretch", () => {
  expect(numberOf(of("mean").extract(ramp))).toBe(49.5);
  expect(numberOf(of("median", { segment: "cook" }).extract(ramp))).toBe(49.5);
  expect(numberOf(of("mean", { segment: "cook", lastS: 10 }).extract(ramp))).toBe(74.5);
  expect(numberOf(of("highest").extract(ramp))).toBe(98);
  expect(numberOf(of("lowest", { segment: "cook" }).extract(ramp))).toBe(21);
});

test("a single spike leads neither mean nor extreme", () => {
  const spiked = altered(ramp, "t", (one, tS) => (tS === 50 ? { ...one, value: 500 } : one));
  expect(numberOf(of("highest").extract(spiked))).toBe(98);
  expect(numberOf(of("mean").extract(spiked))).toBeCloseTo(49.5, 1);
});

test("what is missing, frozen or too short is refused", () => {
  const without = altered(ramp, "t", (one, tS) => (tS > 30 && tS < 50 ? null : one));
  expect(codeOf(of("mean").extract(without))).toBe("coverage-too-low");
  const frozen = altered(ramp, "t", (one, tS) => (tS > 30 && tS < 60 ? { ...one, value: 30 } : one));
  expect(codeOf(of("mean").extract(frozen))).toBe("signal-stuck");
  expect(codeOf(of("mean", { segment: "cook", lastS: 61 }).extract(ramp))).toBe("segment-too-short");
  expect(codeOf(of("mean", { segment: "drain" }).extract(ramp))).toBe("segment-missing");
  expect(() => measured({ id: "px.t", unit: "Cel", role: "t", take: "mean" })({ a: 1 })).toThrow(
    "px.t has no setting a",
  );
});

test("time above a level", () => {
  const above = timeAboveLevel("px.cook_time", "t", 60.5, 4);
  expect(numberOf(above({}).extract(ramp))).toBeCloseTo(39.5, 9);
  expect(numberOf(above({ threshold: 90.5 }).extract(ramp))).toBeCloseTo(9.5, 9);
});
