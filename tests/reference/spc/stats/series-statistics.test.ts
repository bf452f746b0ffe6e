import { expect, test } from "vitest";
import { movingRangeSigma } from "../../../../spc/charts/moving-range-sigma.ts";
import { columnOf } from "../../../../spc/model/column.ts";
import type { Outcome } from "../../../../spc/model/outcome.ts";
import { andersonDarling, olderAdjustment } from "../../../../spc/normality/anderson-darling.ts";
import { shapiroWilk } from "../../../../spc/normality/shapiro-wilk.ts";
import { chiSquareTail } from "../../../../spc/stats/chi-square-tail.ts";
import { columnAutocorrelations } from "../../../../spc/stats/column-autocorrelation.ts";
import { neighbourRatio } from "../../../../spc/stats/durbin-watson.ts";
import { ljungBox } from "../../../../spc/stats/ljung-box.ts";
import { rawMad } from "../../../../spc/stats/mad.ts";
import { median } from "../../../../spc/stats/quantile.ts";
import { medianMovingRange } from "../../../../spc/stats/robust-scale.ts";
import { runsAboutMedian } from "../../../../spc/stats/runs-about-median.ts";
import { seriesMoments } from "../../../../spc/stats/series-moments.ts";
import { publishedRecords, seriesColumn } from "../../ledger/published.ts";
import { reference } from "../../ledger/reference.ts";
import type { Tolerance } from "../../ledger/tolerance.ts";
import { absolute, either, printed, relative } from "../../ledger/tolerance.ts";

const records = reference("normality_autocorr_checks.csv", []);

function value<T>(outcome: Outcome<T>): T {
  if (!outcome.ok) throw new Error(outcome.refusal.detail);
  return outcome.value;
}

function body<T>(file: string, id: string): T {
  return publishedRecords(file).find((record) => record.id === id)!.body as T;
}

const series: Readonly<Record<string, readonly number[]>> = {
  nist_randn: seriesColumn("nist_randn", "y"),
  nist_flowrate10: body<{ input: { values: number[] } }>("nist_examples.json", "nist-6.3.2.2-individuals").input.values,
  nist_lew: seriesColumn("nist_lew", "y"),
  nile: body<{ data: number[] }>("changepoint.json", "nile").data,
};

const close = either(relative(1e-9), absolute(1e-12));
/** R takes 1 less the probability below, which near zero is a multiple of 1.1e-16. */
const subtracted = either(relative(1e-9), absolute(2e-16));

const statistics: Readonly<Record<string, (x: readonly number[], lags: number) => [number, Tolerance]>> = {
  n: (x) => [seriesMoments(x).n, absolute(0)],
  mean: (x) => [seriesMoments(x).mean, relative(1e-13)],
  sd: (x) => [seriesMoments(x).sd, relative(1e-13)],
  A2: (x) => [value(andersonDarling(x)).a2, close],
  A2_star_dAgostinoStephens: (x) => [value(andersonDarling(x)).adjusted, close],
  AD_p: (x) => [value(andersonDarling(x)).p, relative(1e-9)],
  A2_nist_adjust: (x) => [olderAdjustment(value(andersonDarling(x))), close],
  SW_W: (x) => [value(shapiroWilk(x)).w, close],
  SW_p: (x) => [value(shapiroWilk(x)).p, relative(1e-8)],
  skewness_g1: (x) => [seriesMoments(x).skewness!, close],
  kurtosis_b2: (x) => [seriesMoments(x).kurtosis!, close],
  r1: (x) => [value(columnAutocorrelations(column(x), 1)).r[0]!, close],
  DurbinWatson: (x) => [value(neighbourRatio(column(x))).durbinWatson, close],
  LjungBox_Q: (x, lags) => [value(ljungBox(column(x), lags)).q, close],
  LjungBox_lags: (x, lags) => [value(ljungBox(column(x), lags)).lags, absolute(0)],
  LjungBox_p: (x, lags) => [value(ljungBox(column(x), lags)).p, subtracted],
  median: (x) => [median(x), close],
  MAD_raw: (x) => [rawMad(x), close],
  MRbar: (x) => [movingRangeSigma(x.slice(1).map((later, i) => Math.abs(later - x[i]!))).meanRange, close],
  MRmedian: (x) => [medianMovingRange(x), close],
};

function column(x: readonly number[]): ReturnType<typeof columnOf> {
  return columnOf(Float64Array.from(x));
}

test.each(Object.keys(series))("statistics of %s agree with R 4.2.2", (dataset) => {
  const own = records.filter((record) => record.get("dataset") === dataset);
  expect(own.length).toBe(Object.keys(statistics).length);
  // Ten values were tested at nine lags; the rest at the usual number.
  const lags = dataset === "nist_flowrate10" ? 9 : 10;
  for (const record of own) {
    const [actual, tolerance] = statistics[record.get<string>("statistic")]!(series[dataset]!, lags);
    record.check("value", actual, tolerance);
  }
});

test("Ljung-Box takes min(10, n/5) lags unless told", () => {
  expect(value(ljungBox(column(series["nile"]!))).lags).toBe(10);
  expect(value(ljungBox(column(series["nist_flowrate10"]!))).lags).toBe(2);
});

const randn = reference("nist_examples.json", ["published.*.decimals"]).find(({ id }) => id === "nist-1.4.2.1-randn")!;

test(`${randn.title}: true normal numbers that a test of normality rejects at 1 %`, () => {
  const x = seriesColumn(randn.get<string>("input.series").replace(".csv", ""), "y");
  const ad = value(andersonDarling(x));
  const { mean, sd } = seriesMoments(x);
  const sw = value(shapiroWilk(x));
  const r1 = value(columnAutocorrelations(column(x), 1)).r[0]!;
  const runs = value(runsAboutMedian(x)).z;
  randn.check("published.0.value", ad.a2, printed(4));
  randn.check("published.1.value", r1, printed(3));
  randn.check("published.2.value", runs, printed(4));
  expect([0, 1, 2].map((i) => randn.get(`published.${i}.decimals`))).toEqual([4, 3, 4]);
  randn.check("recomputed.A2", ad.a2, printed(11));
  randn.check("recomputed.A2_star", ad.adjusted, printed(11));
  randn.check("recomputed.r1", r1, printed(13));
  randn.check("recomputed.runs_about_median_z", runs, printed(8));
  randn.check("recomputed.mean", mean, close);
  randn.check("recomputed.sd", sd, printed(11));
  randn.check("recomputed.shapiro_W", sw.w, close);
  randn.check("recomputed.shapiro_p", sw.p, relative(1e-8));
  expect(ad.p).toBeLessThan(0.01);
});

/** R: pchisq(x, df, lower.tail = FALSE). */
const TAILS: readonly (readonly [number, number, number])[] = [
  [3.841458820694124, 1, 0.05],
  [18.307038053275146, 10, 0.05],
];

test("chi-square tails are those of R 4.2.2, and stay accurate where they are tiny", () => {
  for (const [x, df, tail] of TAILS) expect(chiSquareTail(x, df)).toBeCloseTo(tail, 12);
  // Closed form for two degrees of freedom.
  expect(chiSquareTail(800, 2) / Math.exp(-400)).toBeCloseTo(1, 12);
});
