import { expect, test } from "vitest";
import { median, quantile } from "../../../../spc/stats/quantile.ts";

/** NIST/SEMATECH e-Handbook 7.2.6.2 (from memory): 12 measured resistivities and their 90th percentile, 95.1981. */
const resistivity = [
  95.1772, 95.1567, 95.1937, 95.1959, 95.1442, 95.061, 95.1591, 95.1195, 95.1065, 95.0925, 95.199, 95.1682,
];

test("quantile(resistivity, 0.9) is the handbook's 95.1981", () => {
  expect(quantile(resistivity, 0.9)).toBeCloseTo(95.1981, 4);
});

test("quantile stays within the values, whatever their order", () => {
  expect(quantile([3, 1, 2], 0)).toBe(1);
  expect(quantile([3, 1, 2], 1)).toBe(3);
  expect(quantile([7], 0.3)).toBe(7);
});

test("median([4, 1, 3, 2]) is the mean of the middle two", () => {
  expect(median([4, 1, 3, 2])).toBe(2.5);
  expect(median([9, -1, 5])).toBe(5);
});

test("no values, or a share that is none, is a defect", () => {
  expect(() => median([])).toThrow(RangeError);
  for (const p of [-0.1, 1.1, Number.NaN]) expect(() => quantile([1], p)).toThrow(RangeError);
});
