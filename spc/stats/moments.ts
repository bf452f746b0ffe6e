/** Mean, standard deviation with n - 1, and skewness of a handful of values. */
export interface Moments {
  readonly n: number;
  readonly mean: number;
  readonly sd: number;
  /** Third central moment over the 1.5th power of the second; 0 where there is no variation. */
  readonly skewness: number;
  /** Fourth central moment over the square of the second, less the 3 of a normal; 0 where there is no variation. */
  readonly excess: number;
}

/**
 * Mean: where the values lie.
 *
 * @shape   one or more finite values, in any order
 * @unit    that of the values
 * @method  sum over n, then once more over the deviations from it, which takes back the rounding of the first pass
 * @throws  RangeError without values: a defect in the caller
 * @cost    O(n)
 * @source  correction pass: Chan, Golub, LeVeque 1983, The American Statistician 37:242-247 (from memory)
 * @checked tests/reference/spc/stats/moments.test.ts
 */
export function mean(values: readonly number[]): number {
  if (values.length === 0) throw new RangeError("a mean needs one or more values, got 0");
  let first = 0;
  for (const value of values) first += value / values.length;
  let rest = 0;
  for (const value of values) rest += value - first;
  return first + rest / values.length;
}

/**
 * Moments: where the values lie, how far they spread, and whether one tail is longer.
 *
 * @shape   two or more finite values, in any order
 * @unit    mean and sd that of the values, the rest dimensionless
 * @method  corrected two-pass: ss = sum d^2 - (sum d)^2 / n with d taken from the mean; sd = sqrt(ss / (n - 1))
 * @throws  RangeError for fewer than two values: a defect in the caller
 * @cost    O(n)
 * @source  Chan, Golub, LeVeque 1983, The American Statistician 37:242-247 (from memory); skewness b1 and
 *          excess kurtosis of NIST/SEMATECH e-Handbook 1.3.5.11 with divisor n (from memory)
 * @checked tests/reference/spc/stats/moments.test.ts
 */
export function moments(values: readonly number[]): Moments {
  const n = values.length;
  if (n < 2) throw new RangeError(`moments need two or more values, got ${n}`);
  const centre = mean(values);
  let sum = 0;
  let squares = 0;
  let cubes = 0;
  let fourths = 0;
  for (const value of values) {
    const d = value - centre;
    sum += d;
    squares += d * d;
    cubes += d * d * d;
    fourths += d * d * d * d;
  }
  const spread = Math.max(0, squares - (sum * sum) / n);
  const sd = Math.sqrt(spread / (n - 1));
  const skewness = spread > 0 ? cubes / n / (spread / n) ** 1.5 : 0;
  const excess = spread > 0 ? fourths / n / (spread / n) ** 2 - 3 : 0;
  return { n, mean: centre, sd, skewness, excess };
}
