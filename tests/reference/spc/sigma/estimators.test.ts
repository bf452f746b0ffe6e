import { expect, test } from "vitest";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import type { Grouped } from "../../../../spc/model/grouped.ts";
import { singles, subgroups } from "../../../../spc/model/grouped.ts";
import { estimateLocation } from "../../../../spc/sigma/location.ts";
import { meanRange } from "../../../../spc/sigma/mean-range.ts";
import { meanS } from "../../../../spc/sigma/mean-s.ts";
import { medianMovingRange, medianMovingRangeDfShare } from "../../../../spc/sigma/median-moving-range.ts";
import { movingRangeSigmaOf } from "../../../../spc/sigma/moving-range.ts";
import { movingRangesOf } from "../../../../spc/sigma/moving-ranges.ts";
import { mvlueRange, mvlueS } from "../../../../spc/sigma/mvlue.ts";
import { overallSigma } from "../../../../spc/sigma/overall.ts";
import { pooledS } from "../../../../spc/sigma/pooled-s.ts";
import type { SpreadEstimate } from "../../../../spc/sigma/spread.ts";
import { subgroupMoments } from "../../../../spc/sigma/subgroup-moments.ts";
import { subgroupRanges } from "../../../../spc/sigma/subgroup-ranges.ts";
import { normals } from "../../../property/spc/seeded.ts";
import { publishedRecords, seriesColumn } from "../../ledger/published.ts";
import { reference } from "../../ledger/reference.ts";
import { relative } from "../../ledger/tolerance.ts";

const individualsRecord = publishedRecords("nist_examples.json").find(({ id }) => id === "nist-6.3.2.2-individuals")!;
const series: Readonly<Record<string, readonly number[]>> = {
  nist_randn: seriesColumn("nist_randn", "y"),
  nist_lew: seriesColumn("nist_lew", "y"),
  nist_flowrate10: (individualsRecord.body as { input: { values: readonly number[] } }).input.values,
};

for (const record of reference("normality_autocorr_checks.csv", [])) {
  const values = series[record.get<string>("dataset")];
  const statistic = record.get<string>("statistic");
  if (values === undefined || !statistic.startsWith("MR")) continue;
  test(record.title, () => {
    const ranges = movingRangesOf(Float64Array.from(values), []);
    const found = statistic === "MRbar" ? movingRangeSigmaOf(ranges) : medianMovingRange(ranges);
    const factor = statistic === "MRbar" ? 2 / Math.sqrt(Math.PI) : 0.953872552409;
    record.check("value", found.sigma * factor, relative(1e-9));
  });
}

test.each([
  [2, 0.88],
  [3, 0.91],
  [4, 0.91],
  [5, 0.91],
  [10, 0.83],
])("ranges of %i keep about %d of the degrees of freedom (ASTM MNL 7, from memory; recomputed)", (n, share) => {
  const { df } = meanRange(Float64Array.of(1, 2), n);
  expect(df / (2 * (n - 1))).toBeCloseTo(share, 2);
  const ofS = meanS(Float64Array.of(1, 2), n).df / (2 * (n - 1));
  expect(ofS).toBeLessThan(1);
  expect(ofS).toBeGreaterThan(0.87);
});

const TRIALS = 2000;
const equal = Array(20).fill(4) as readonly number[];
const mixed = [2, 5, 3, 3, 7, 2, 4, 6, 2, 5];
const single = Array(200).fill(1) as readonly number[];

function drawnFrom(next: () => number, sizes: readonly number[]): Grouped {
  return subgroups(sizes.map((size) => Array.from({ length: size }, () => 50 + 3 * next())));
}

const means = (data: Grouped) => subgroupMoments(data).means;
const sds = (data: Grouped) => subgroupMoments(data).sds;
const estimators: readonly (readonly [string, readonly number[], (data: Grouped) => SpreadEstimate])[] = [
  ["mean range", equal, (data) => meanRange(subgroupRanges(data), 4)],
  ["mean s", equal, (data) => meanS(sds(data), 4)],
  ["pooled s", mixed, (data) => pooledS(sds(data), data.starts)],
  ["weighed s", mixed, (data) => mvlueS(sds(data), data.starts)],
  ["weighed range", mixed, (data) => mvlueRange(subgroupRanges(data), data.starts)],
  ["moving range", single, (data) => movingRangeSigmaOf(movingRangesOf(means(data), []))],
];

test.each(estimators)(
  "%s: sigma is right on average and varies as its degrees of freedom say, within 4 standard errors",
  (_, sizes, estimate) => {
    const next = normals(21);
    const found = Array.from({ length: TRIALS }, () => estimate(drawnFrom(next, sizes)));
    const sigmas = Float64Array.from(found, ({ sigma }) => sigma);
    const { mean, sigma: sd } = overallSigma(sigmas);
    expect(Math.abs(mean - 3)).toBeLessThan((4 * sd) / Math.sqrt(TRIALS));
    // sd / mean of a chi over its mean is about sqrt(1 / 2 df).
    const variance = (sd / mean) ** 2;
    const expected = 1 / (2 * found[0]!.df);
    expect(Math.abs(variance / expected - 1)).toBeLessThan(4 * Math.sqrt(2 / TRIALS) + 0.02);
  },
);

test("the median moving range has 0.303 degrees of freedom a range: by our own simulation", () => {
  expect(medianMovingRangeDfShare()).toBeCloseTo(0.303, 3);
  const next = normals(22);
  const sigmas = Float64Array.from({ length: TRIALS }, () => {
    return medianMovingRange(movingRangesOf(Float64Array.from({ length: 400 }, next), [])).sigma;
  });
  const { mean, sigma } = overallSigma(sigmas);
  // Of many values only; of 400 the median lies some thousandths high.
  expect(Math.abs(mean - 1)).toBeLessThan(0.01);
  const expected = 1 / (2 * 399 * medianMovingRangeDfShare());
  expect(Math.abs((sigma / mean) ** 2 / expected - 1)).toBeLessThan(4 * Math.sqrt(2 / TRIALS) + 0.02);
});

test("longer moving ranges are right on average, and their degrees of freedom are no overstatement", () => {
  const next = normals(23);
  for (const span of [3, 5]) {
    const found = Array.from({ length: TRIALS }, () =>
      movingRangeSigmaOf(movingRangesOf(Float64Array.from({ length: 100 }, next), [], span), span),
    );
    const { mean, sigma } = overallSigma(Float64Array.from(found, (one) => one.sigma));
    expect(Math.abs(mean - 1)).toBeLessThan((4 * sigma) / Math.sqrt(TRIALS));
    expect((sigma / mean) ** 2).toBeLessThan(1 / (2 * found[0]!.df));
  }
});

/** As the certified files of NumAcc2 to 4 are made. */
function alternating(centre: number, low: number, high: number): readonly number[] {
  return Array.from({ length: 1001 }, (_, i) => (i === 0 ? centre : i % 2 === 1 ? low : high));
}

/** Double precision cannot write 10000000.1 closer than 1e-9, so that sd of NumAcc4 keeps eight digits. */
const certified: readonly (readonly [string, readonly number[], number, number, number])[] = [
  ["Lew", seriesColumn("strd_lew", "y"), -177.435, 277.332168044316, 1e-14],
  ["Lottery", seriesColumn("strd_lottery", "y"), 518.95871559633, 291.699727470969, 1e-14],
  ["PiDigits", seriesColumn("strd_pidigits", "y"), 4.5348, 2.86733906028871, 1e-14],
  ["NumAcc1", seriesColumn("strd_numacc1", "y"), 10000002, 1, 0],
  ["NumAcc2", alternating(1.2, 1.1, 1.3), 1.2, 0.1, 1e-14],
  ["NumAcc3", alternating(1000000.2, 1000000.1, 1000000.3), 1000000.2, 0.1, 1e-9],
  ["NumAcc4", alternating(10000000.2, 10000000.1, 10000000.3), 10000000.2, 0.1, 1e-8],
];

test.each(certified)(
  "NIST StRD %s: mean and sd as certified, overall and as one subgroup",
  (_, values, mean, sd, share) => {
    const design = { ...usualDesign({ from: 0, to: values.length }), basis: "overall" } as const;
    const found = estimateLocation(singles(values), design);
    const moments = subgroupMoments(subgroups([values]));
    for (const [actualMean, actualSd] of [
      found.ok ? [found.value.centre, found.value.sigma] : [],
      [moments.means[0]!, moments.sds[0]!],
    ]) {
      // Certified to 15 digits, the last of them rounded.
      expect(Math.abs(actualMean! - mean)).toBeLessThanOrEqual(2e-15 * Math.abs(mean));
      expect(Math.abs(actualSd! - sd)).toBeLessThanOrEqual((share + 2e-15) * sd);
    }
  },
);
