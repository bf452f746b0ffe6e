import { expect, test } from "vitest";
import { medianQuantile } from "../../../../spc/factors/median-quantile.ts";
import { medianSigma } from "../../../../spc/factors/median-sigma.ts";
import { normalCdf, normalQuantile } from "../../../../spc/library/normal.ts";

const chances = [1e-12, 1e-6, 0.00135, 0.1, 0.3];

test("the median of one and of two is their mean", () => {
  for (const p of chances) {
    expect(medianQuantile(p, 1)).toBeCloseTo(normalQuantile(p), 9);
    expect(normalCdf(medianQuantile(p, 2) * Math.SQRT2) / p).toBeCloseTo(1, 9);
  }
});

test("the median of three, and of five, lies below x when two, or three, values do", () => {
  for (const p of chances) {
    const u = normalCdf(medianQuantile(p, 3));
    expect(Math.abs(u * u * (3 - 2 * u) - p)).toBeLessThan(1e-9 * p);
    const v = normalCdf(medianQuantile(p, 5));
    expect(Math.abs(v ** 3 * (10 - 15 * v + 6 * v * v) - p)).toBeLessThan(1e-9 * p);
  }
});

test("the median of many is nearly normal, with even sizes between the odd ones", () => {
  for (const p of [0.00135, 0.1]) {
    for (const n of [4, 6, 10, 24, 50]) {
      const [less, own, more] = [n - 1, n, n + 1].map((size) => medianQuantile(p, size) / medianSigma(size));
      expect(own! / normalQuantile(p)).toBeCloseTo(1, 1);
      if (n > 4) expect(Math.abs(own! - (less! + more!) / 2)).toBeLessThan(0.01);
    }
  }
  expect(medianQuantile(0.5, 4)).toBeCloseTo(0, 12);
  expect(medianQuantile(0.5, 5)).toBeCloseTo(0, 12);
});

test("what is no chance or no subgroup is a defect", () => {
  for (const p of [0, 0.6, 1, Number.NaN]) expect(() => medianQuantile(p, 5)).toThrow(RangeError);
  for (const n of [0, 2.5, Number.NaN]) expect(() => medianQuantile(0.1, n)).toThrow(RangeError);
});
