import { expect, test } from "vitest";
import { sortedWithSpread } from "../../../../spc/stats/fit-for-spread.ts";
import { madSigma, rawMad } from "../../../../spc/stats/mad.ts";
import { hodgesLehmann, trimmedMean } from "../../../../spc/stats/robust-centre.ts";
import {
  interquartileSigma,
  medianMovingRange,
  medianMovingRangeSigma,
  qnSigma,
} from "../../../../spc/stats/robust-scale.ts";
import { screening } from "../../../../spc/stats/screening.ts";

const sigmas = [madSigma, qnSigma, interquartileSigma, medianMovingRangeSigma];

test("robust estimates of seven values: R 4.2.2's mad(constant = 1) and mean(trim = 0.2), the rest by hand", () => {
  const values = [3.1, 4.7, 1.2, 9.9, 5.5, 6.1, 2.2];
  expect(rawMad(values)).toBeCloseTo(1.6, 12);
  expect(trimmedMean(values, 0.2)).toBeCloseTo(4.32, 12);
  expect(trimmedMean(values, 0)).toBeCloseTo(32.7 / 7, 12);
  expect(hodgesLehmann([1, 2, 9])).toBe(3.5);
  expect(hodgesLehmann([1, 2])).toBe(1.5);
  expect(medianMovingRange([1, 4, 2, 9])).toBe(3);
  const qn = qnSigma([1, 2, 4]);
  // h = 2, k = 1: the smallest distance.
  expect(qn.ok && qn.value).toBeCloseTo(2.2219 * 0.994, 12);
});

test("no value moves a robust sigma far, however wild", () => {
  const values = Array.from({ length: 40 }, (_, i) => Math.sin(i * 7));
  for (const of of sigmas) {
    const calm = of(values);
    const wild = of([...values.slice(1), 1e9]);
    if (!calm.ok || !wild.ok) throw new Error("refused");
    const number = (found: number | { readonly sigma: number }) => (typeof found === "number" ? found : found.sigma);
    expect(number(wild.value) / number(calm.value)).toBeLessThan(1.3);
  }
});

test("half of the values equal: the MAD is zero, and what stands in for it is flagged", () => {
  const found = madSigma([5, 5, 5, 5, 9]);
  if (!found.ok) throw new Error(found.refusal.detail);
  expect(found.value.estimator).toBe("mean-absolute-deviation");
  expect(found.value.sigma).toBeCloseTo(Math.sqrt(Math.PI / 2) * 0.8, 12);
  expect(found.value.cautions.map(({ code }) => code)).toEqual(["mad-zero"]);
  expect(qnSigma([5, 5, 5, 5, 9])).toMatchObject({ ok: false, refusal: { code: "zero-variation" } });
  expect(interquartileSigma([5, 5, 5, 5, 5, 5, 9])).toMatchObject({ ok: false, refusal: { code: "zero-variation" } });
  expect(medianMovingRangeSigma([5, 5, 5, 5, 9])).toMatchObject({ ok: false, refusal: { code: "zero-variation" } });
});

test("screening asks about what lies beyond 3.5 robust sigma, and says when the MAD was zero", () => {
  const found = screening([1, 2, 3, 4, 5, 40, 3, -30]);
  if (!found.ok) throw new Error(found.refusal.detail);
  expect(found.value.questions).toEqual([5, 7]);
  expect(found.value.centre).toBe(3);
  const tied = screening([5, 5, 5, 5, 5, 5, 5, 5, 5, 90]);
  expect(tied.ok && tied.value.questions).toEqual([9]);
  expect(tied.ok && tied.value.cautions.map(({ code }) => code)).toEqual(["mad-zero"]);
});

test("too few, equal, or no numbers", () => {
  for (const of of [...sigmas, screening, sortedWithSpread]) {
    expect(of([])).toMatchObject({ ok: false, refusal: { code: "too-few", has: 0 } });
    expect(of([1])).toMatchObject({ ok: false, refusal: { code: "too-few", has: 1 } });
    expect(of([0.1, 0.1, 0.1])).toMatchObject({ ok: false, refusal: { code: "zero-variation" } });
    expect(() => of([1, Number.NaN, 2])).toThrow(RangeError);
    expect(() => of([1, Number.POSITIVE_INFINITY, 2])).toThrow(RangeError);
  }
  expect(() => hodgesLehmann([])).toThrow(RangeError);
  expect(() => trimmedMean([1], 0.5)).toThrow(RangeError);
  expect(() => trimmedMean([], 0.1)).toThrow(RangeError);
  expect(() => medianMovingRange([1])).toThrow(RangeError);
  expect(() => rawMad([Number.NaN])).toThrow(RangeError);
});
