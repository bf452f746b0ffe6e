import { logGamma } from "../library/gamma.ts";
import { normalCdf, normalDensity } from "../library/normal.ts";
import { halfLineNodes } from "./half-line.ts";

const STEP = 1 / 20;
const REACH = 8.5;

const known = new Map<number, number>();

/**
 * Standard deviation of the median: how much the median of n standard normal values varies.
 *
 * @shape   n: subgroup size, an integer of 1 or more
 * @unit    dimensionless, in sigma of one value
 * @method  root of E[M^2]. Odd n: M is one order statistic. Even n: M = u, half the sum of the middle two, which lie
 *          at u - w/2 and u + w/2; integral over u by the trapezoid rule, over w > 0 by that of the half-line
 * @throws  RangeError when n is no such integer: a defect in the caller
 * @cost    O(1), at most some 100,000 densities; once for each n
 * @source  densities of order statistics: David & Nagaraja, Order Statistics (from memory)
 * @checked tests/reference/spc/factors/constants.test.ts
 */
export function medianSigma(n: number): number {
  if (!Number.isInteger(n) || n < 1) throw new RangeError(`a median needs a subgroup of one or more, got ${n}`);
  const seen = known.get(n);
  if (seen !== undefined) return seen;
  const found = Math.sqrt(n % 2 === 1 ? oddSquare((n - 1) / 2) : evenSquare(n / 2));
  known.set(n, found);
  return found;
}

/** E[M^2] of the middle of 2 r + 1 values. */
function oddSquare(r: number): number {
  const factor = Math.exp(logGamma(2 * r + 2) - 2 * logGamma(r + 1));
  let sum = 0;
  for (let x = -REACH; x <= REACH; x += STEP) sum += x * x * normalDensity(x) * (normalCdf(x) * normalCdf(-x)) ** r;
  return factor * STEP * sum;
}

/** E[M^2] of half the sum of the middle two of 2 r values. */
function evenSquare(r: number): number {
  const factor = Math.exp(logGamma(2 * r + 1) - 2 * logGamma(r));
  const nodes = halfLineNodes(2 * REACH);
  let sum = 0;
  for (let u = -REACH; u <= REACH; u += STEP) {
    for (const { at, weight } of nodes) {
      const low = u - at / 2;
      const high = u + at / 2;
      const outer = (normalCdf(low) * normalCdf(-high)) ** (r - 1);
      sum += weight * u * u * normalDensity(low) * normalDensity(high) * outer;
    }
  }
  return factor * STEP * sum;
}
