import { c4 } from "../factors/c4.ts";
import type { SpreadEstimate } from "./spread.ts";

/**
 * Sigma from the mean subgroup standard deviation: how much single values vary within subgroups of equal size.
 *
 * @shape   standard deviations of subgroups of n, at least one; NaN stands for none
 * @unit    that of the characteristic; df dimensionless
 * @method  mean s / c4(n); df = m c4^2 / (2 (1 - c4^2)), the chi that varies as much
 * @throws  RangeError without a standard deviation: a defect in the caller
 * @cost    O(m)
 * @source  ISO 7870-2; ASTM MNL 7 (both from memory); degrees of freedom derived here
 * @checked tests/reference/spc/sigma/estimators.test.ts
 */
export function meanS(sds: Float64Array, n: number): SpreadEstimate {
  const { mean, count } = meanOf(sds, "a mean s");
  const factor = c4(n);
  return { sigma: mean / factor, df: (count * factor ** 2) / (2 * (1 - factor ** 2)) };
}

/**
 * Mean of the numbers of a column: of statistics, some of which may be none.
 *
 * @shape   one number or more; NaN stands for none
 * @unit    that of the statistic
 * @throws  RangeError without a number: a defect in the caller, named in the words given
 * @cost    O(m)
 * @source  derived here
 * @checked tests/unit/spc/sigma/location.test.ts
 */
export function meanOf(column: Float64Array, what: string): { readonly mean: number; readonly count: number } {
  let first = Number.NaN;
  let sum = 0;
  let count = 0;
  for (let i = 0; i < column.length; i += 1) {
    const value = column[i]!;
    if (Number.isNaN(value)) continue;
    if (count === 0) first = value;
    // From the first, so that a large level does not cost its digits.
    sum += value - first;
    count += 1;
  }
  if (count === 0) throw new RangeError(`${what} needs one or more numbers, got none`);
  return { mean: first + sum / count, count };
}
