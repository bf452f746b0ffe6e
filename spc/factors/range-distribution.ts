import { normalCdf, normalDensity } from "../library/normal.ts";

/** Step of the grid in sigma; halving it changes no moment for n up to 1000 by 1e-13. */
const STEP = 1 / 10;
/** The normal holds less than 1e-16 beyond. */
const REACH = 8.5;
/** Largest range considered: exceeded with less than 1e-18 for n = 1000. */
export const WIDEST_RANGE = 14;

const grid: readonly { readonly x: number; readonly cdf: number; readonly weight: number }[] = Array.from(
  { length: Math.round((2 * REACH) / STEP) + 1 },
  (_, i) => {
    const x = i * STEP - REACH;
    return { x, cdf: normalCdf(x), weight: STEP * normalDensity(x) };
  },
);

/**
 * Distribution of the range: the chance that n standard normal values span at most w.
 *
 * @shape   w in sigma; n: subgroup size, an integer of 2 or more
 * @unit    dimensionless
 * @method  F(w) = n integral phi(x) (Phi(x + w) - Phi(x))^(n-1) dx by the trapezoid rule
 * @throws  RangeError when n is no such integer or w no number: a defect in the caller
 * @cost    O(1), some 170 powers
 * @source  Tippett 1925, Biometrika 17:364-387 (from memory)
 * @checked tests/reference/spc/factors/range-distribution.test.ts
 */
export function rangeCdf(w: number, n: number): number {
  if (!Number.isInteger(n) || n < 2) throw new RangeError(`a range needs a subgroup of two or more, got ${n}`);
  if (Number.isNaN(w)) throw new RangeError("a chance of a range needs a width, got none");
  if (w <= 0) return 0;
  let below = 0;
  for (const { x, cdf, weight } of grid) below += weight * (normalCdf(x + w) - cdf) ** (n - 1);
  return Math.min(n * below, 1);
}

/**
 * Quantile of the range: the width that the range of n standard normal values stays below with probability p.
 *
 * @shape   0 < p < 1; n: subgroup size, an integer of 2 or more
 * @unit    in sigma of one value
 * @method  halving of 0 to 14 until the last bits, so that no start or slope can mislead it
 * @throws  RangeError when p or n is out of range: a defect in the caller
 * @cost    O(1), some 60 evaluations of the distribution
 * @source  definition
 * @checked tests/reference/spc/factors/range-distribution.test.ts
 */
export function rangeQuantile(p: number, n: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`a quantile needs 0 < p < 1, got ${p}`);
  let below = 0;
  let above = WIDEST_RANGE;
  for (let i = 0; i < 60; i += 1) {
    const middle = (below + above) / 2;
    if (middle === below || middle === above) break;
    if (rangeCdf(middle, n) < p) below = middle;
    else above = middle;
  }
  return (below + above) / 2;
}

/**
 * d4: the median of the range, in sigma; what a median range is divided by.
 *
 * @shape   n: subgroup size, an integer of 2 or more
 * @unit    dimensionless
 * @method  quantile of the range at one half; d4(2) = 0.953872552 is also the median of |N(0, 2)|
 * @throws  RangeError when n is no such integer: a defect in the caller
 * @cost    O(1), some 60 evaluations of the distribution
 * @source  ISO 7870-2 (from memory)
 * @checked tests/reference/spc/factors/range-distribution.test.ts
 */
export function d4(n: number): number {
  return rangeQuantile(0.5, n);
}
