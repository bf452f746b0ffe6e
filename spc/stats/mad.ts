import { normalQuantile } from "../library/normal.ts";
import type { Caution } from "../model/drawn-chart.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok } from "../model/outcome.ts";
import { exactSum } from "./exact-sum.ts";
import { sortedWithSpread } from "./fit-for-spread.ts";
import { sortedCopy, sortedQuantile } from "./quantile-definitions.ts";

/** Finite-sample factors for 2 to 9 values; Croux and Rousseeuw 1992, Computational Statistics 1:411-428 (from memory). */
const FACTORS = [1.196, 1.495, 1.363, 1.206, 1.2, 1.14, 1.129, 1.107];

/**
 * Median absolute deviation: the middle distance from the median, as it stands.
 *
 * @shape   one or more finite values, in any order
 * @unit    that of the values
 * @method  median of |x - median|, without any factor
 * @throws  RangeError without values or for values that are not finite: a defect in the caller
 * @cost    O(n log n)
 * @source  Hampel 1974, Journal of the American Statistical Association 69:383-393 (from memory)
 * @checked tests/reference/spc/stats/series-statistics.test.ts
 */
export function rawMad(values: ArrayLike<number>): number {
  return distancesFromMedian(sortedCopy(values)).middle;
}

/** A sigma that a few wild values hardly move, and the centre it was taken from. */
export interface MadSigma {
  /** `mad`, or `mean-absolute-deviation` where the MAD was zero. */
  readonly estimator: string;
  readonly median: number;
  readonly sigma: number;
  /** Without the factor for small n. */
  readonly plainSigma: number;
  /** `mad-zero` where half of the values or more are equal. */
  readonly cautions: readonly Caution[];
}

/**
 * Sigma from the median absolute deviation: how much values spread, whatever up to half of them do.
 *
 * @shape   two or more finite values, in any order
 * @unit    that of the values
 * @method  1.4826 MAD times a factor for small n: a table to 9 values, n / (n - 0.8) above; what bias that leaves is
 *          below 1.5 %. Where the MAD is zero because half of the values or more are equal: 1.2533 times the mean
 *          distance from the median, with caution mad-zero
 * @refuses too-few under two; zero-variation
 * @throws  RangeError for values that are not finite: a defect in the caller
 * @cost    O(n log n)
 * @source  Croux and Rousseeuw 1992, Computational Statistics 1:411-428; fallback: Iglewicz and Hoaglin 1993, How to
 *          Detect and Handle Outliers (both from memory)
 * @checked tests/reference/spc/stats/robust-efficiency.test.ts
 */
export function madSigma(values: ArrayLike<number>): Outcome<MadSigma> {
  const sorted = sortedWithSpread(values);
  if (!sorted.ok) return sorted;
  const n = values.length;
  const { median, distances, middle } = distancesFromMedian(sorted.value);
  if (middle > 0) {
    const plainSigma = middle / normalQuantile(0.75);
    const sigma = plainSigma * (FACTORS[n - 2] ?? n / (n - 0.8));
    return ok({ estimator: "mad", median, sigma, plainSigma, cautions: [] });
  }
  const sigma = Math.sqrt(Math.PI / 2) * exactSum(n, (i) => distances[i]! / n);
  const text = "half of the values or more are equal, so sigma rests on the mean distance from the median";
  const cautions = [{ code: "mad-zero", text }];
  return ok({ estimator: "mean-absolute-deviation", median, sigma, plainSigma: sigma, cautions });
}

function distancesFromMedian(sorted: Float64Array) {
  const median = sortedQuantile(sorted, 0.5, "n-plus-one");
  const distances = sorted.map((value) => Math.abs(value - median)).sort();
  return { median, distances, middle: sortedQuantile(distances, 0.5, "n-plus-one") };
}
