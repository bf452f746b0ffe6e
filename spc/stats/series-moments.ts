import { scaling, typed } from "./scaling.ts";
import { powerSums } from "./sums.ts";

/** Mean, spread and shape of a long series. */
export interface SeriesMoments {
  readonly n: number;
  readonly smallest: number;
  readonly largest: number;
  readonly mean: number;
  /** With n - 1. */
  readonly sd: number;
  /** Third and fourth central moment over powers of the second, all with divisor n; null where nothing varies. */
  readonly skewness: number | null;
  readonly kurtosis: number | null;
  /** The same sums with divisor n - 1, over powers of the sd with n - 1, as some handbooks print them. */
  readonly skewnessLessOne: number | null;
  readonly kurtosisLessOne: number | null;
}

/**
 * Moments of a series: where the values lie, how far they spread, whether one tail is longer, and how heavy the tails are.
 *
 * @shape   two or more finite values up to 1e307 in magnitude, in any order; a typed array of millions is meant
 * @unit    mean, sd and extremes that of the values; skewness and kurtosis (3 for a normal) dimensionless
 * @method  corrected two-pass on values scaled by powers of two, so that neither 1e300 nor 1e-300 leaves the range of
 *          numbers: ss = sum d^2 - (sum d)^2 / n, sd = sqrt(ss / (n - 1)); g1 = m3 / m2^1.5, b2 = m4 / m2^2, divisor n.
 *          With n - 1 instead: g1 sqrt((n - 1) / n) and b2 (n - 1) / n. All sums compensated
 * @throws  RangeError for fewer than two values, or values that are not finite: a defect in the caller
 * @cost    O(n), four passes
 * @source  Chan, Golub, LeVeque 1983, The American Statistician 37:242-247 (from memory); both divisors:
 *          NIST/SEMATECH e-Handbook 1.3.5.11 (from memory) and 1.4.2.8.3
 * @checked tests/reference/spc/stats/moments.test.ts
 */
export function seriesMoments(values: ArrayLike<number>): SeriesMoments {
  const n = values.length;
  if (n < 2) throw new RangeError(`moments need two or more values, got ${n}`);
  const x = typed(values);
  const { smallest, largest, mean, centre, outer, inner } = scaling(x);
  const base = { n, smallest, largest, mean };
  if (smallest === largest) {
    return { ...base, sd: 0, skewness: null, kurtosis: null, skewnessLessOne: null, kurtosisLessOne: null };
  }
  const [rest, raw, cubes, fourths] = powerSums(x, outer, centre, inner);
  const squares = raw - (rest * rest) / n;
  const skewness = cubes / n / (squares / n) ** 1.5;
  const kurtosis = (fourths * n) / squares ** 2;
  return {
    ...base,
    sd: Math.sqrt(squares / (n - 1)) / inner / outer,
    skewness,
    kurtosis,
    skewnessLessOne: skewness * Math.sqrt((n - 1) / n),
    kurtosisLessOne: (kurtosis * (n - 1)) / n,
  };
}
