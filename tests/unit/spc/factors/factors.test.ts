import { expect, test } from "vitest";
import { c4 } from "../../../../spc/factors/c4.ts";
import { factorA4, factorB3, factorD3, factorE2 } from "../../../../spc/factors/chart-factors.ts";
import { d2 } from "../../../../spc/factors/d2.ts";
import { d2Star } from "../../../../spc/factors/d2-star.ts";
import { d3 } from "../../../../spc/factors/d3.ts";
import { medianSigma } from "../../../../spc/factors/median-sigma.ts";
import { d4, rangeCdf, rangeQuantile } from "../../../../spc/factors/range-distribution.ts";
import { logGamma } from "../../../../spc/library/gamma.ts";

test("factors go on beyond the tables", () => {
  expect(d2(100)).toBeCloseTo(5.015187272883, 11);
  expect(d3(100)).toBeCloseTo(0.605179109488, 11);
  expect(d2(1000)).toBeGreaterThan(d2(100));
  expect(factorB3(100)).toBeGreaterThan(0.7);
  expect(factorD3(100)).toBeGreaterThan(factorD3(25));
  // The median of many varies by sqrt(pi / 2 n), less a term in 1/n.
  expect(medianSigma(101) / Math.sqrt(Math.PI / 202)).toBeCloseTo(1, 2);
  expect(medianSigma(100)).toBeGreaterThan(medianSigma(101));
  expect(factorA4(50)).toBeLessThan(factorA4(49));
});

test("c4 joins its series for large subgroups without a step, and agrees with its definition", () => {
  for (const n of [998, 1000, 1001, 1002, 5000, 4_000_001]) {
    const direct = Math.sqrt(2 / (n - 1)) * Math.exp(logGamma(n / 2) - logGamma((n - 1) / 2));
    expect(Math.abs(c4(n) - direct)).toBeLessThan(n > 10_000 ? 1e-8 : 1e-11);
  }
  // The recurrence holds across the join.
  expect(c4(1000) * c4(1001)).toBeCloseTo(Math.sqrt(999 / 1000), 14);
  expect(c4(1001) * c4(1002)).toBeCloseTo(Math.sqrt(1000 / 1001), 14);
});

test("the chance of a range rises from 0 to 1, and its quantile undoes it", () => {
  for (const n of [2, 5, 25, 100]) {
    expect([rangeCdf(-1, n), rangeCdf(0, n), rangeCdf(14, n)]).toEqual([0, 0, expect.closeTo(1, 13)]);
    for (const p of [1e-6, 0.00135, 0.3, 0.5, 0.99, 0.99865, 1 - 1e-9]) {
      expect(Math.abs(rangeCdf(rangeQuantile(p, n), n) - p)).toBeLessThan(1e-14);
    }
    expect(rangeCdf(d4(n), n)).toBeCloseTo(0.5, 14);
  }
});

test("d2* nears d2 as subgroups become many, and span two gives the individuals' factor", () => {
  expect(d2Star(5, 1)).toBeGreaterThan(d2Star(5, 2));
  expect(d2Star(5, 1e9)).toBeCloseTo(d2(5), 9);
  expect(factorE2(2)).toBeCloseTo(1.5 * Math.sqrt(Math.PI), 12);
  expect(factorE2(2, 2)).toBeCloseTo(Math.sqrt(Math.PI), 12);
});

test("what is no subgroup is a defect", () => {
  for (const n of [0, -3, 2.5, Number.NaN]) {
    for (const factor of [c4, d2, d3, d4, medianSigma]) expect(() => factor(n)).toThrow(RangeError);
    expect(() => rangeCdf(1, n)).toThrow(RangeError);
    expect(() => d2Star(5, n)).toThrow(RangeError);
  }
  for (const factor of [c4, d2, d3, d4]) expect(() => factor(1)).toThrow(RangeError);
  for (const p of [0, 1, -1, Number.NaN]) expect(() => rangeQuantile(p, 5)).toThrow(RangeError);
  expect(() => rangeCdf(Number.NaN, 5)).toThrow(RangeError);
});
