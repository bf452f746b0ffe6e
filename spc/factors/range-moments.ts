import { halfLineNodes } from "./half-line.ts";
import { rangeCdf, WIDEST_RANGE } from "./range-distribution.ts";

/** Mean and standard deviation of the range of n standard normal values. */
export interface RangeMoments {
  readonly mean: number;
  readonly sd: number;
}

const known = new Map<number, RangeMoments>();

/**
 * Moments of the range: what d2 and d3 are read from.
 *
 * @shape   n: subgroup size, an integer of 2 or more
 * @unit    dimensionless, in sigma of one value
 * @method  E[W] = integral (1 - F), E[W^2] = 2 integral w (1 - F), F the distribution of the range, by quadrature
 * @throws  RangeError when n is no such integer: a defect in the caller
 * @cost    O(1), some 40,000 powers; once for each n
 * @source  distribution of the range: Tippett 1925, Biometrika 17:364-387 (from memory)
 * @checked tests/reference/spc/factors/constants.test.ts
 */
export function rangeMoments(n: number): RangeMoments {
  const seen = known.get(n);
  if (seen !== undefined) return seen;
  let mean = 0;
  let square = 0;
  for (const { at, weight } of halfLineNodes(WIDEST_RANGE)) {
    const beyond = weight * (1 - rangeCdf(at, n));
    mean += beyond;
    square += 2 * at * beyond;
  }
  const found = { mean, sd: Math.sqrt(square - mean * mean) };
  known.set(n, found);
  return found;
}
