import { rangeMoments } from "./range-moments.ts";

/**
 * d3: how much the range of a subgroup varies, sd[R] = d3(n) sigma.
 *
 * @shape   n: subgroup size, an integer of 2 or more
 * @unit    dimensionless
 * @method  standard deviation of the range of n standard normal values, by quadrature; d3(2) = sqrt(2 - 4/pi)
 * @throws  RangeError when n is no such integer: a defect in the caller
 * @cost    O(1), once for each n
 * @source  definition as in ISO 7870-2 (from memory)
 * @checked tests/reference/spc/factors/constants.test.ts
 */
export function d3(n: number): number {
  return rangeMoments(n).sd;
}
