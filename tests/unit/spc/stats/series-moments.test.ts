import { expect, test } from "vitest";
import { columnOf, constantColumn } from "../../../../spc/model/column.ts";
import { columnAutocorrelations } from "../../../../spc/stats/column-autocorrelation.ts";
import { neighbourRatio } from "../../../../spc/stats/durbin-watson.ts";
import { extremes, finiteOnes, powerOfTwoScale } from "../../../../spc/stats/finite.ts";
import { ljungBox } from "../../../../spc/stats/ljung-box.ts";
import { runsAboutMedian } from "../../../../spc/stats/runs-about-median.ts";
import { seriesMoments } from "../../../../spc/stats/series-moments.ts";

test("moments of 1, 2, 4 by hand", () => {
  const found = seriesMoments([1, 2, 4]);
  expect(found.mean).toBeCloseTo(7 / 3, 15);
  expect(found.sd).toBeCloseTo(Math.sqrt(7 / 3), 15);
  // m2 = 14/9, m3 = 20/27, m4 = 392/81... from deviations -4/3, -1/3, 5/3.
  expect(found.skewness).toBeCloseTo(20 / 27 / (14 / 9) ** 1.5, 14);
  expect(found.kurtosis).toBeCloseTo((256 + 1 + 625) / 81 / 3 / (14 / 9) ** 2, 14);
  expect(found.skewnessLessOne).toBeCloseTo(20 / 9 / (2 * (7 / 3) ** 1.5), 14);
  expect(found.kurtosisLessOne).toBeCloseTo(882 / 81 / (2 * (7 / 3) ** 2), 14);
});

test("moments of equal values: no spread, and a shape that is not known", () => {
  const found = seriesMoments(new Float64Array(1000).fill(0.1));
  expect(found).toMatchObject({ mean: 0.1, sd: 0, skewness: null, kurtosis: null });
});

test("the mean of nearly equal values lies among them", () => {
  const { mean, smallest, largest } = seriesMoments([0.1, 0.1, 0.1 + 1.4e-17]);
  expect(mean).toBeGreaterThanOrEqual(smallest);
  expect(mean).toBeLessThanOrEqual(largest);
});

test.each([1e300, 1e-300, 1e307, 5e-324])("moments of values of the size %d are finite", (size) => {
  const found = seriesMoments([-size, size, size, 0]);
  expect(found.sd / size).toBeCloseTo(size === 5e-324 ? 1 : Math.sqrt(11 / 12), 12);
  expect(found.mean / size).toBeCloseTo(size === 5e-324 ? 0 : 0.25, 12);
  expect(Number.isFinite(found.kurtosis)).toBe(true);
});

test.each([Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 1.1e307])(
  "a value of %d is a defect",
  (bad) => {
    expect(() => extremes([1, bad])).toThrow(RangeError);
    expect(() => seriesMoments([1, bad, 2])).toThrow(RangeError);
    expect(() => runsAboutMedian([1, bad, 2])).toThrow(RangeError);
  },
);

test("no values, or one, have no moments", () => {
  expect(() => extremes([])).toThrow(RangeError);
  expect(() => seriesMoments([])).toThrow(RangeError);
  expect(() => seriesMoments([1])).toThrow(RangeError);
});

test("a power-of-two scale brings a magnitude near one", () => {
  expect(powerOfTwoScale(0)).toBe(1);
  for (const size of [3, 1e300, 1e-300]) {
    expect(size * powerOfTwoScale(size)).toBeGreaterThanOrEqual(0.5);
    expect(size * powerOfTwoScale(size)).toBeLessThan(4);
  }
});

const column = (values: readonly number[]) => columnOf(Float64Array.from(values));

test("autocorrelation that cannot be had is refused", () => {
  expect(columnAutocorrelations(constantColumn(3, 9), 1)).toMatchObject({ refusal: { code: "zero-variation" } });
  expect(columnAutocorrelations(constantColumn(null, 9), 1)).toMatchObject({ refusal: { code: "too-few", has: 0 } });
  expect(columnAutocorrelations(column([]), 1)).toMatchObject({ ok: false, refusal: { code: "too-few" } });
  expect(columnAutocorrelations(column([1, 2]), 2)).toMatchObject({ ok: false, refusal: { code: "too-few" } });
  expect(columnAutocorrelations(column([3, 3, 3]), 1)).toMatchObject({
    ok: false,
    refusal: { code: "zero-variation" },
  });
  expect(columnAutocorrelations(column([1, Number.NaN, 2, Number.NaN, 4]), 1)).toMatchObject({
    ok: false,
    refusal: { code: "too-few" },
  });
  expect(() => columnAutocorrelations(column([1, 2]), 0)).toThrow(RangeError);
  expect(() => columnAutocorrelations(column([1, 2]), 1.5)).toThrow(RangeError);
});

test("Ljung-Box and Durbin-Watson that cannot be had are refused; too few lags for the fit are a defect", () => {
  expect(ljungBox(column([1, 2, 3, 4]))).toMatchObject({ ok: false, refusal: { code: "too-few" } });
  expect(ljungBox(column([1, 2, 3]), 3)).toMatchObject({ ok: false, refusal: { code: "too-few" } });
  expect(neighbourRatio(column([1]))).toMatchObject({ ok: false, refusal: { code: "too-few" } });
  expect(neighbourRatio(column([2, 2]))).toMatchObject({ ok: false, refusal: { code: "zero-variation" } });
  expect(() => ljungBox(column([1, 2, 3]), 1, 1)).toThrow(RangeError);
  expect(() => ljungBox(column([1, 2, 3]), 1, -1)).toThrow(RangeError);
});

test("von Neumann's ratio of 1, 2, 4 by hand", () => {
  const found = neighbourRatio(column([1, 2, 4]));
  if (!found.ok) throw new Error(found.refusal.detail);
  expect(found.value.durbinWatson).toBeCloseTo(5 / (14 / 3), 14);
  // Mean square successive difference 5/2 over the variance with divisor n, 14/9.
  expect(found.value.vonNeumann).toBeCloseTo(2.5 / (14 / 9), 14);
});

test("runs about the median: by hand, with ties passed over, and refused when one side is empty", () => {
  const found = runsAboutMedian([1, 9, 2, 8, 5, 3, 7]);
  if (!found.ok) throw new Error(found.refusal.detail);
  expect(found.value).toMatchObject({ runs: 6, above: 3, below: 3, expected: 4 });
  expect(found.value.z).toBeCloseTo(2 / Math.sqrt((18 * 12) / (36 * 5)), 14);
  expect(runsAboutMedian([1, 1, 1])).toMatchObject({ ok: false, refusal: { code: "too-few", has: 0 } });
});

test("the finite ones of a column are the column itself where none is missing", () => {
  const whole = Float64Array.of(3, 1, 2);
  expect(finiteOnes(whole)).toBe(whole);
  expect([...finiteOnes(Float64Array.of(Number.NaN, 3, Number.NaN, 1, Number.POSITIVE_INFINITY))]).toEqual([3, 1]);
  expect(finiteOnes(new Float64Array(0))).toHaveLength(0);
});
