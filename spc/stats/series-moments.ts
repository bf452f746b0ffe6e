import { exactSum } from "./exact-sum.ts";
import { extremes, powerOfTwoScale } from "./finite.ts";

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
 * @cost    O(n), two passes and a check
 * @source  Chan, Golub, LeVeque 1983, The American Statistician 37:242-247 (from memory); both divisors:
 *          NIST/SEMATECH e-Handbook 1.3.5.11 (from memory) and 1.4.2.8.3
 * @checked tests/reference/spc/stats/moments.test.ts
 */
export function seriesMoments(values: ArrayLike<number>): SeriesMoments {
  const n = values.length;
  if (n < 2) throw new RangeError(`moments need two or more values, got ${n}`);
  const { smallest, largest } = extremes(values);
  const base = { n, smallest, largest };
  if (smallest === largest) {
    const none = { skewness: null, kurtosis: null, skewnessLessOne: null, kurtosisLessOne: null };
    return { ...base, mean: smallest, sd: 0, ...none };
  }
  const { mean, centre, outer, inner } = scaling(values, smallest, largest);
  const deviation = (i: number): number => (values[i]! * outer - centre) * inner;
  const rest = exactSum(n, deviation);
  const squares = exactSum(n, (i) => deviation(i) ** 2) - (rest * rest) / n;
  const cubes = exactSum(n, (i) => deviation(i) ** 3);
  const fourths = exactSum(n, (i) => deviation(i) ** 4);
  const skewness = cubes / n / (squares / n) ** 1.5;
  const kurtosis = (fourths * n) / squares ** 2;
  return {
    ...base,
    mean,
    sd: Math.sqrt(squares / (n - 1)) / inner / outer,
    skewness,
    kurtosis,
    skewnessLessOne: skewness * Math.sqrt((n - 1) / n),
    kurtosisLessOne: (kurtosis * (n - 1)) / n,
  };
}

/** How a series is brought near one: deviation = (value * outer - centre) * inner. */
export interface Scaling {
  readonly mean: number;
  /** The mean, times `outer`. */
  readonly centre: number;
  readonly outer: number;
  readonly inner: number;
}

/**
 * Scaling: the mean of a series, and powers of two that bring its deviations near one.
 *
 * @shape   finite values that are not all equal, with their extremes
 * @unit    mean that of the values, the factors its inverse
 * @method  values times a power of two, compensated sum, then once more over what is left
 * @cost    O(n), two passes
 * @source  derived here; correction pass: Chan, Golub, LeVeque 1983 (from memory)
 * @checked tests/reference/spc/stats/moments.test.ts
 */
export function scaling(values: ArrayLike<number>, smallest: number, largest: number): Scaling {
  const n = values.length;
  const outer = powerOfTwoScale(Math.max(Math.abs(smallest), Math.abs(largest)));
  const first = exactSum(n, (i) => values[i]! * outer) / n;
  const centre = first + exactSum(n, (i) => values[i]! * outer - first) / n;
  const inner = powerOfTwoScale((largest - smallest) * outer);
  // Rounding may leave the mean of nearly equal values an ulp outside them.
  const mean = Math.min(largest, Math.max(smallest, centre / outer));
  return { mean, centre, outer, inner };
}
