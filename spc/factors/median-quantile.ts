import { betaQuantile } from "../library/beta.ts";
import { logGamma } from "../library/gamma.ts";
import { normalCdf, normalDensity, normalQuantile } from "../library/normal.ts";
import { halfLineNodes } from "./half-line.ts";

/** Farther out a standard normal holds less than 1e-23. */
const REACH = 10;

/**
 * Quantile of the median: what the median of n standard normal values stays below with probability p.
 *
 * @shape   0 < p <= 1/2, the upper half by symmetry; n: subgroup size, an integer of 1 or more
 * @unit    in sigma of one value
 * @method  odd n = 2 r + 1: Phi(M) is a beta variable with shapes r + 1 and r + 1. Even n = 2 r: M is half the sum of
 *          the middle two, P(M <= m) = n! / ((r-1)!^2 r) integral over x < m of Phi(x)^(r-1) phi(x)
 *          (Q(x)^r - Q(2 m - x)^r) dx with Q = 1 - Phi, and halving until the last bits
 * @throws  RangeError when p or n is out of range: a defect in the caller
 * @cost    O(1), at most some 60 integrals of 250 nodes
 * @source  densities of order statistics: David & Nagaraja, Order Statistics (from memory); integral derived here
 * @checked tests/unit/spc/factors/median-quantile.test.ts
 */
export function medianQuantile(p: number, n: number): number {
  if (!Number.isInteger(n) || n < 1) throw new RangeError(`a median needs a subgroup of one or more, got ${n}`);
  if (!(p > 0 && p <= 0.5)) throw new RangeError(`a quantile of the median needs 0 < p <= 1/2, got ${p}`);
  if (n === 1) return normalQuantile(p);
  if (n % 2 === 1) return normalQuantile(betaQuantile(p, (n + 1) / 2, (n + 1) / 2));
  let below = -REACH;
  let above = 0;
  for (let i = 0; i < 60; i += 1) {
    const middle = (below + above) / 2;
    if (evenCdf(middle, n / 2) < p) below = middle;
    else above = middle;
  }
  return (below + above) / 2;
}

/** Chance that the median of 2 r values lies at or below m. */
function evenCdf(m: number, r: number): number {
  const factor = Math.exp(logGamma(2 * r + 1) - 2 * logGamma(r)) / r;
  let sum = 0;
  for (const { at, weight } of NODES) {
    const low = normalCdf(m - at);
    const beyond = normalCdf(at - m);
    // Q(x)^r - Q(2 m - x)^r as a product, because far out both are nearly 1.
    const share = Math.min((normalCdf(m + at) - low) / beyond, 1);
    sum += weight * low ** (r - 1) * normalDensity(m - at) * beyond ** r * -Math.expm1(r * Math.log1p(-share));
  }
  return factor * sum;
}

const NODES = halfLineNodes(2 * REACH);
