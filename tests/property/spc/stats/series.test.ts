import fc from "fast-check";
import { expect, test } from "vitest";
import { columnFrom } from "../../../../spc/model/column.ts";
import { autocorrelation } from "../../../../spc/stats/autocorrelation.ts";
import { columnAutocorrelations } from "../../../../spc/stats/column-autocorrelation.ts";
import { distinctValues } from "../../../../spc/stats/distinct.ts";
import { neighbourRatio } from "../../../../spc/stats/durbin-watson.ts";
import { exactSum } from "../../../../spc/stats/exact-sum.ts";
import { ljungBox } from "../../../../spc/stats/ljung-box.ts";
import { moments } from "../../../../spc/stats/moments.ts";
import { median, quantile } from "../../../../spc/stats/quantile.ts";
import { resolution } from "../../../../spc/stats/resolution.ts";
import { runsAboutMedian } from "../../../../spc/stats/runs-about-median.ts";
import { seriesMoments } from "../../../../spc/stats/series-moments.ts";
import { finiteThroughout, hostile, plain } from "./hostile-series.ts";

/** Values with some places empty. */
const gappy = fc.array(fc.option(fc.integer({ min: -1000, max: 1000 }), { freq: 6 }), { minLength: 6, maxLength: 60 });

test("moments of a long series are those of a handful", () => {
  fc.assert(
    fc.property(plain, (drawn) => {
      // The handful's squares of the smallest numbers there are vanish; the long series scales them.
      const values = drawn.map((value) => (Math.abs(value) < 1e-100 ? 0 : value));
      const long = seriesMoments(Float64Array.from(values));
      const few = moments(values);
      expect(long.mean).toBeCloseTo(few.mean, 9);
      expect(long.sd).toBeCloseTo(few.sd, 9);
      if (long.skewness !== null) expect(long.skewness).toBeCloseTo(few.skewness, 7);
    }),
  );
});

test("autocorrelations of a column are those of a list, empty places included", () => {
  fc.assert(
    fc.property(gappy, (values) => {
      const fast = columnAutocorrelations(columnFrom(values), 3);
      if (!fast.ok) return;
      fast.value.r.forEach((r, i) => {
        expect(r).toBeCloseTo(autocorrelation(values, i + 1), 9);
      });
    }),
  );
});

test("moments move and stretch with their values, and shape does not", () => {
  fc.assert(
    fc.property(plain, fc.integer({ min: -50, max: 50 }), fc.constantFrom(-4, 0.5, 2, 8), (values, a, b) => {
      const one = seriesMoments(values);
      const other = seriesMoments(values.map((value) => a + b * value));
      expect(other.mean).toBeCloseTo(a + b * one.mean, 8);
      expect(other.sd).toBeCloseTo(Math.abs(b) * one.sd, 8);
      if (one.sd > 0.01) {
        expect(other.skewness!).toBeCloseTo(Math.sign(b) * one.skewness!, 6);
        expect(other.kurtosis!).toBeCloseTo(one.kurtosis!, 6);
      }
    }),
  );
});

test("autocorrelation, Ljung-Box, Durbin-Watson and runs do not ask for unit or origin", () => {
  fc.assert(
    fc.property(plain, fc.integer({ min: -50, max: 50 }), fc.constantFrom(-4, 0.5, 2), (values, a, b) => {
      const whole = values.map(Math.round);
      const moved = whole.map((value) => a + b * value);
      const pairs = [ljungBox, neighbourRatio].map((of) => [of(columnFrom(whole)), of(columnFrom(moved))] as const);
      for (const [one, other] of pairs) {
        expect(other.ok).toBe(one.ok);
        if (!one.ok || !other.ok) continue;
        const after = Object.values(other.value) as number[];
        for (const [i, number] of (Object.values(one.value) as number[]).entries())
          expect(after[i]).toBeCloseTo(number, 6);
      }
      const runs = runsAboutMedian(whole);
      const again = runsAboutMedian(whole.map((value) => a + b * value));
      expect(again.ok && again.value.z).toEqual(runs.ok && runs.value.z);
    }),
  );
});

test("order means nothing to moments, quantiles, distinct values and resolution", () => {
  fc.assert(
    fc.property(plain, (values) => {
      const back = values.toReversed();
      expect(seriesMoments(back).sd).toBeCloseTo(seriesMoments(values).sd, 9);
      expect(median(Float64Array.from(back))).toBe(median(values));
      expect(quantile(back, 0.3)).toBe(quantile(values, 0.3));
      expect(distinctValues(back)).toBe(distinctValues(values));
      expect(resolution(back, null, 1)).toEqual(resolution(values, null, 1));
    }),
  );
});

test("a probability lies between 0 and 1, an autocorrelation within its bounds", () => {
  fc.assert(
    fc.property(plain, (values) => {
      const box = ljungBox(columnFrom(values));
      if (box.ok) expect(box.value.p).toBeGreaterThanOrEqual(0);
      if (box.ok) expect(box.value.p).toBeLessThanOrEqual(1);
      const found = columnAutocorrelations(columnFrom(values), 1);
      if (found.ok) expect(Math.abs(found.value.r[0]!)).toBeLessThanOrEqual(1 + 1e-12);
      if (found.ok) expect(found.value.neighbours).toBeLessThanOrEqual(4 + 1e-9);
    }),
  );
});

test("an exact sum adds a million tenths to the last bit and loses no small term between large ones", () => {
  expect(exactSum(1_000_000, () => 0.1)).toBe(100_000);
  expect(exactSum(3, (i) => [1e16, 1, -1e16][i]!)).toBe(1);
});

test.each(hostile)("no statistic of %s is NaN or infinite", (_, values) => {
  const column = columnFrom(values);
  const answers = [
    values.length > 1 ? seriesMoments(values) : null,
    ljungBox(column),
    neighbourRatio(column),
    columnAutocorrelations(column, 1),
    values.length > 0 ? runsAboutMedian(values) : null,
    values.length > 0 ? resolution(values, null, 1) : null,
  ];
  for (const answer of answers) expect(finiteThroughout(answer)).toBe(true);
});
