import { normalQuantile } from "../library/normal.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { extremes } from "./finite.ts";
import { sortedWithSpread } from "./fit-for-spread.ts";
import { kthOfDifferences } from "./kth-pair.ts";
import { sortedQuantile } from "./quantile-definitions.ts";

/** Finite-sample factors for 2 to 9 values; Croux and Rousseeuw 1992, Computational Statistics 1:411-428 (from memory). */
const QN_FACTORS = [0.399, 0.994, 0.512, 0.844, 0.611, 0.857, 0.669, 0.872];

/** What estimators give for 2 to 9 standard normal values, our own simulation of 400,000 samples each. */
const INTERQUARTILE_MEANS = [0.8375, 1.2561, 1.2547, 1.2284, 1.183, 1.122, 1.1225, 1.1148];
const MOVING_RANGE_MEANS = [1.1844, 1.1843, 1.1399, 1.1241, 1.0849, 1.0809, 1.066, 1.0626];

/**
 * Qn: sigma from the first quarter of the distances between any two values; sharper than the MAD and needs no centre.
 *
 * @shape   two or more finite values, in any order
 * @unit    that of the values
 * @method  2.2219 d times the k-th smallest |x_i - x_j|, k = h (h - 1) / 2, h = floor(n / 2) + 1; d a table to 9
 *          values, n / (n + 1.4) for odd and n / (n + 3.8) for even n above; what bias that leaves is below 1.5 %
 * @refuses too-few under two; zero-variation, also when so many values are equal that the distance is zero
 * @throws  RangeError for values that are not finite: a defect in the caller
 * @cost    O(n log n): the pairs are counted, never listed
 * @source  Rousseeuw and Croux 1993, Journal of the American Statistical Association 88:1273-1283; Croux and Rousseeuw
 *          1992, Computational Statistics 1:411-428 (both from memory)
 * @checked tests/reference/spc/stats/robust-efficiency.test.ts
 */
export function qnSigma(values: ArrayLike<number>): Outcome<number> {
  const sorted = sortedWithSpread(values);
  if (!sorted.ok) return sorted;
  const n = values.length;
  const h = Math.floor(n / 2) + 1;
  const distance = kthOfDifferences(sorted.value, (h * (h - 1)) / 2);
  if (distance === 0) return refuse("zero-variation", "so many values are equal that no distance is left", { has: n });
  return ok(2.2219 * (QN_FACTORS[n - 2] ?? n / (n + (n % 2 === 1 ? 1.4 : 3.8))) * distance);
}

/**
 * Sigma from the interquartile range.
 *
 * @shape   two or more finite values, in any order
 * @unit    that of the values
 * @method  (upper less lower quartile) / 1.349, quartiles at ranks 1/4 and 3/4 of n + 1; over what that gives for n
 *          standard normal values: a table to 9, 1 + 0.95/n above
 * @refuses too-few under two; zero-variation, also when the quartiles are equal
 * @throws  RangeError for values that are not finite: a defect in the caller
 * @cost    O(n log n)
 * @source  NIST/SEMATECH e-Handbook 1.3.5.6 (from memory); 1.349 = 2 normal quantiles at 3/4; small n: our own simulation
 * @checked tests/reference/spc/stats/robust-efficiency.test.ts
 */
export function interquartileSigma(values: ArrayLike<number>): Outcome<number> {
  const sorted = sortedWithSpread(values);
  if (!sorted.ok) return sorted;
  const n = values.length;
  const range = sortedQuantile(sorted.value, 0.75, "n-plus-one") - sortedQuantile(sorted.value, 0.25, "n-plus-one");
  if (range === 0) return refuse("zero-variation", "the quartiles are equal", { has: n });
  return ok(range / (2 * normalQuantile(0.75)) / (INTERQUARTILE_MEANS[n - 2] ?? 1 + 0.95 / n));
}

/**
 * Median moving range: the middle step from one value to the next, as it stands.
 *
 * @shape   two or more finite values in time order, none missing between them
 * @unit    that of the values
 * @method  median |x_t - x_{t-1}|
 * @throws  RangeError for fewer than two values or values that are not finite: a defect in the caller
 * @cost    O(n log n)
 * @source  Clifford 1959, Industrial Quality Control 15:11-15 (from memory)
 * @checked tests/reference/spc/stats/series-statistics.test.ts
 */
export function medianMovingRange(values: ArrayLike<number>): number {
  if (values.length < 2) throw new RangeError(`a moving range needs two or more values, got ${values.length}`);
  extremes(values);
  const ranges = new Float64Array(values.length - 1).map((_, i) => Math.abs(values[i + 1]! - values[i]!)).sort();
  return sortedQuantile(ranges, 0.5, "n-plus-one");
}

/**
 * Sigma from the median moving range.
 *
 * @shape   two or more finite values in time order, none missing between them
 * @unit    that of the values
 * @method  median |x_t - x_{t-1}| / 0.953872552, the median of |N(0, sqrt 2)|, over what that gives for n standard
 *          normal values: a table to 9, 1 + 0.53/n above
 * @refuses too-few under two; zero-variation, also when half of the neighbours or more are equal
 * @throws  RangeError for values that are not finite: a defect in the caller
 * @cost    O(n log n)
 * @source  Clifford 1959, Industrial Quality Control 15:11-15 (from memory); factor: sqrt 2 times a normal quantile at
 *          3/4; small n: our own simulation
 * @checked tests/reference/spc/stats/robust-efficiency.test.ts
 */
export function medianMovingRangeSigma(values: ArrayLike<number>): Outcome<number> {
  const n = values.length;
  if (n < 2) return refuse("too-few", "too few values for a spread", { needs: 2, has: n });
  const middle = medianMovingRange(values);
  if (middle === 0) return refuse("zero-variation", "half of the neighbours or more are equal", { has: n });
  return ok(middle / (Math.SQRT2 * normalQuantile(0.75)) / (MOVING_RANGE_MEANS[n - 2] ?? 1 + 0.53 / n));
}
