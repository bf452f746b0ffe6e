import { rangeMoments } from "./range-moments.ts";

/**
 * d2: how wide the range of a subgroup is on average, E[R] = d2(n) sigma.
 *
 * @shape   n: subgroup size, an integer of 2 or more
 * @unit    dimensionless
 * @method  mean of the range of n standard normal values, by quadrature; d2(2) = 2/sqrt(pi)
 * @throws  RangeError when n is no such integer: a defect in the caller
 * @cost    O(1), once for each n
 * @source  definition as in ISO 7870-2 (from memory)
 * @checked tests/reference/spc/factors/constants.test.ts
 */
export function d2(n: number): number {
  return rangeMoments(n).mean;
}
