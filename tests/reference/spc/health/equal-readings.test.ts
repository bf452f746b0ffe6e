import { expect, test } from "vitest";
import { chanceAllEqual, equalReadingsNeeded } from "../../../../spc/health/equal-readings.ts";

/**
 * Outside values: shares of the standard normal from published tables (two-sided 0.682689 within one sigma, 0.954500
 * within two, 0.997300 within three; also NIST/SEMATECH e-Handbook 1.3.6.7.1), and the closed form for a fine step.
 */

test("with a step of two sigma the middle step holds the tabled 68.27 %, its neighbours half of what is left to three", () => {
  const middle = 0.6826894921;
  const next = (0.9973002039 - middle) / 2;
  const outer = (1 - 0.9973002039) / 2;
  const table = (count: number) => middle ** count + 2 * next ** count + 2 * outer ** count;
  for (const count of [2, 3, 5]) expect(chanceAllEqual(1, 2, count)).toBeCloseTo(table(count), 8);
});

test("two readings with a fine step agree with step / (2 sigma sqrt(pi)), the density of the difference at zero", () => {
  // Difference of two standard normals: normal with variance 2, density 1 / (2 sqrt(pi)) = 0.28209479 at zero.
  for (const [spread, step] of [
    [6.27, 1],
    [0.176, 0.05],
    [0.006, 0.001],
  ] as const) {
    // What is left out is a 24th of the step's square, in sigma.
    const leftOut = (step / spread) ** 2 / 24;
    expect(chanceAllEqual(spread, step, 2) / ((0.28209479 * step) / spread)).toBeCloseTo(1 - leftOut, 3);
  }
});

test("of three with a fine step it is (step / sigma)^2 / (2 pi sqrt(3)), the integral of the density's cube", () => {
  expect(chanceAllEqual(10, 0.5, 3) / (0.05 ** 2 / (2 * Math.PI * Math.sqrt(3)))).toBeCloseTo(1, 3);
});

test("no spread repeats for certain, no step never", () => {
  expect(chanceAllEqual(0, 0.1, 7)).toBe(1);
  expect(chanceAllEqual(1, 0, 2)).toBe(0);
  expect(equalReadingsNeeded(0, 0.1, 1_000, 1e-6)).toBe(Number.POSITIVE_INFINITY);
  expect(equalReadingsNeeded(1, 0, 1_000, 1e-6)).toBe(2);
});

test("the count needed is the first whose expected number of chance rows is within what is allowed", () => {
  for (const [spread, step, readings] of [
    [0.006, 0.001, 1_728_000],
    [0.05, 0.1, 86_400],
    [0.25, 0.1, 2_880],
  ] as const) {
    const count = equalReadingsNeeded(spread, step, readings, 1e-6);
    expect(readings * chanceAllEqual(spread, step, count)).toBeLessThanOrEqual(1e-6);
    expect(readings * chanceAllEqual(spread, step, count - 1)).toBeGreaterThan(1e-6);
  }
});

test("what is no number is refused as a defect", () => {
  expect(() => chanceAllEqual(Number.NaN, 1, 2)).toThrow(RangeError);
  expect(() => chanceAllEqual(1, -1, 2)).toThrow(RangeError);
  expect(() => chanceAllEqual(1, 1, 0)).toThrow(RangeError);
  expect(() => equalReadingsNeeded(1, 1, 0, 1e-6)).toThrow(RangeError);
  expect(() => equalReadingsNeeded(1, 1, 10, 0)).toThrow(RangeError);
});
