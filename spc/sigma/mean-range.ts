import { d2 } from "../factors/d2.ts";
import { d3 } from "../factors/d3.ts";
import { meanOf } from "./means.ts";
import type { SpreadEstimate } from "./spread.ts";

/**
 * Sigma from the mean range: how much single values vary within subgroups of equal size, in a form checked by hand.
 *
 * @shape   ranges of subgroups of n, at least one; NaN stands for none
 * @unit    that of the characteristic; df dimensionless
 * @method  mean R / d2(n); df = m d2^2 / (2 d3^2), the chi that varies as much: .91 of m (n - 1) at n = 5, .83 at 10
 * @throws  RangeError without a range: a defect in the caller
 * @cost    O(m)
 * @source  ISO 7870-2; ASTM MNL 7 (both from memory); degrees of freedom derived here
 * @checked tests/reference/spc/sigma/estimators.test.ts
 */
export function meanRange(ranges: Float64Array, n: number): SpreadEstimate {
  const { mean, count } = meanOf(ranges, "a mean range");
  return { sigma: mean / d2(n), df: (count * d2(n) ** 2) / (2 * d3(n) ** 2) };
}
