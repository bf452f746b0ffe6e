import { d2 } from "./d2.ts";
import { d3 } from "./d3.ts";

/**
 * d2*: what the mean range of few subgroups is divided by where the square of sigma, not sigma, is to be right on
 * average, as in gauge studies.
 *
 * @shape   n: subgroup size, an integer of 2 or more; g: subgroups, an integer of 1 or more
 * @unit    dimensionless
 * @method  sqrt(d2^2 + d3^2 / g)
 * @throws  RangeError when either is no such integer: a defect in the caller
 * @cost    O(1), once for each n
 * @source  Duncan, Quality Control and Industrial Statistics; AIAG MSA 4th ed. (both from memory)
 * @checked tests/reference/spc/factors/constants.test.ts
 */
export function d2Star(n: number, g: number): number {
  if (!Number.isInteger(g) || g < 1) throw new RangeError(`a mean range needs one subgroup or more, got ${g}`);
  return Math.sqrt(d2(n) ** 2 + d3(n) ** 2 / g);
}
