import { expect, test } from "vitest";
import { columnOf } from "../../../../spc/model/column.ts";
import { autocorrelation, autocorrelationBand } from "../../../../spc/stats/autocorrelation.ts";
import { columnAutocorrelations } from "../../../../spc/stats/column-autocorrelation.ts";
import { moments } from "../../../../spc/stats/moments.ts";
import { seriesMoments } from "../../../../spc/stats/series-moments.ts";
import { seriesColumn } from "../../ledger/published.ts";
import { reference } from "../../ledger/reference.ts";
import { absolute, either, printed, relative } from "../../ledger/tolerance.ts";
import { relativeError } from "../relative-error.ts";

const strd = reference("strd_univariate.json", []);

/** The files of the three hard sets hold one value, then two in turn about it, 1,001 in all. */
const alternating = (first: number, low: number, high: number): number[] => [
  first,
  ...Array.from({ length: 1000 }, (_, i) => (i % 2 === 0 ? low : high)),
];

function lag1(values: readonly number[]): number {
  const found = columnAutocorrelations(columnOf(Float64Array.from(values)), 1);
  if (!found.ok) throw new Error(found.refusal.detail);
  return found.value.r[0]!;
}

test.each(strd)("$title: certified mean, standard deviation and lag-1 autocorrelation", (record) => {
  const series = record.get<string | object>("series");
  const values =
    typeof series === "string"
      ? seriesColumn(series.replace("series/", "").replace(".csv", ""), "y")
      : alternating(1.2, 1.1, 1.3);
  const fast = seriesMoments(Float64Array.from(values));
  record.check("n", fast.n, absolute(0));
  // Certified to 15 digits; the plain sums of the live functions lose two of them in 5,000 values.
  const both = [
    { found: fast, r1: lag1(values), allowed: either(relative(1e-14), absolute(5e-16)) },
    { found: moments(values), r1: autocorrelation(values, 1), allowed: relative(1e-12) },
  ];
  for (const { found, r1, allowed } of both) {
    record.check("certified.mean", found.mean, relative(1e-14));
    record.check("certified.sd_n_minus_1", found.sd, allowed);
    record.check("certified.lag1_autocorrelation", r1, allowed);
    record.check("recomputed_60_digit_arithmetic.mean", found.mean, relative(1e-14));
    record.check("recomputed_60_digit_arithmetic.sd", found.sd, allowed);
    record.check("recomputed_60_digit_arithmetic.r1", r1, allowed);
  }
});

// Double precision cannot write 10000000.1 closer than 1e-9, so that sd of NumAcc4 keeps eight digits.
const hard: readonly [string, number[], number, number][] = [
  ["NumAcc3", alternating(1000000.2, 1000000.1, 1000000.3), 1000000.2, 1e-9],
  ["NumAcc4", alternating(10000000.2, 10000000.1, 10000000.3), 10000000.2, 1e-8],
];

test.each(hard)(
  "NIST StRD %s (certified values from memory): mean, sd 0.1, lag 1 -0.999",
  (_, values, mean, tolerance) => {
    for (const found of [seriesMoments(values), moments(values)]) {
      expect(relativeError(found.mean, mean)).toBeLessThan(1e-14);
      expect(relativeError(found.sd, 0.1)).toBeLessThan(tolerance);
    }
    expect(relativeError(lag1(values), -0.999)).toBeLessThan(tolerance);
    expect(relativeError(autocorrelation(values, 1), -0.999)).toBeLessThan(tolerance);
  },
);

test("the band of lag-1 autocorrelation is 1.96 over the root of n (NIST/SEMATECH e-Handbook 1.3.3.1, from memory)", () => {
  expect(autocorrelationBand(100)[1]).toBeCloseTo(0.196, 4);
  expect(autocorrelationBand(100)[0]).toBeCloseTo(-0.196, 4);
});

test("a missing value costs its pairs and scales the rest", () => {
  expect(autocorrelation([1, -1, 1, -1, null, 1, -1], 1)).toBeCloseTo((-4 / 6) * (5 / 4), 12);
});

const handbook = reference("nist_examples.json", ["published.*.decimals"]);
const lew = handbook.find(({ id }) => id === "nist-1.3.5.12-lew-acf")!;

test(`${lew.title}: autocorrelation up to lag 10`, () => {
  const y = seriesColumn(lew.get<string>("input.series").replace(".csv", ""), "y");
  const found = columnAutocorrelations(columnOf(Float64Array.from(y)), 10);
  if (!found.ok) throw new Error(found.refusal.detail);
  lew.checkAll("published.0.value", found.value.r, printed(2));
  lew.checkAll("recomputed.acf_lag1_to_10", found.value.r, printed(4));
  expect(lew.get("published.0.decimals")).toBe(2);
});
