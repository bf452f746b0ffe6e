import { c4 } from "../factors/c4.ts";
import { meanOf } from "./means.ts";
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
