import { expect, test } from "vitest";
import { peakBetween, rootBetween } from "../../../../spc/models/search.ts";

test("a root is found to the last digit, rising or falling, also at an end", () => {
  expect(rootBetween((x) => x * x - 2, 0, 2)).toBeCloseTo(Math.SQRT2, 15);
  expect(rootBetween((x) => 2 - x * x, 0, 2)).toBeCloseTo(Math.SQRT2, 15);
  expect(rootBetween((x) => x, 0, 1)).toBeCloseTo(0, 15);
  expect(rootBetween((x) => x - 1, 0, 1)).toBe(1);
  expect(rootBetween((x) => 1 / x - 1e-3, 1e-3, 1e9)).toBeCloseTo(1000, 8);
});

test("without a change of sign there is no root to look for", () => {
  expect(() => rootBetween((x) => x * x + 1, -1, 1)).toThrow(RangeError);
  expect(() => rootBetween(() => Number.NaN, -1, 1)).toThrow(RangeError);
});

test("a peak is found to the eight digits that a maximum has", () => {
  expect(Math.abs(peakBetween((x) => -((x - 0.3) ** 2), -5, 5) - 0.3)).toBeLessThan(1e-7);
  expect(peakBetween((x) => x, -5, 5)).toBeGreaterThan(5 - 1e-6);
  expect(Math.abs(peakBetween((x) => (x < 0 ? -Infinity : -((x - 4) ** 2)), -5, 5) - 4)).toBeLessThan(1e-7);
});
