import { normalCdf, normalDensity } from "../library/normal.ts";

/** Mean and standard deviation of the range of n standard normal values. */
export interface RangeMoments {
  readonly mean: number;
  readonly sd: number;
}

/** Step of the grid in sigma; the inner sum is exact to rounding at twice that. */
const STEP = 1 / 40;
/** The normal holds less than 1e-23 beyond. */
const REACH = 10;
/** Largest range considered: exceeded with less than 1e-18 for n = 1000. */
const WIDEST = 14;

const known = new Map<number, RangeMoments>();

/**
 * Moments of the range: what d2 and d3 are read from.
 *
 * @shape   n: subgroup size, an integer of 2 or more
 * @unit    dimensionless, in sigma of one value
 * @method  survival of the range, 1 - F(w), F(w) = n integral phi(x) (Phi(x+w) - Phi(x))^(n-1) dx by the trapezoid
 *          rule on a grid; E[W] = integral (1 - F), E[W^2] = 2 integral w (1 - F) by the trapezoid rule at three
 *          steps and Richardson's extrapolation, whose error is that of h^6
 * @throws  RangeError when n is no such integer: a defect in the caller
 * @cost    O(1), some 400,000 powers; once for each n
 * @source  distribution of the range: Tippett 1925, Biometrika 17:364-387 (from memory)
 * @checked tests/reference/spc/factors/factors.test.ts
 */
export function rangeMoments(n: number): RangeMoments {
  if (!Number.isInteger(n) || n < 2) throw new RangeError(`a range needs a subgroup of two or more, got ${n}`);
  const seen = known.get(n);
  if (seen !== undefined) return seen;

  const survival = rangeSurvival(n);
  const mean = extrapolated((i) => survival[i]!, survival.length);
  const square = 2 * extrapolated((i) => i * STEP * survival[i]!, survival.length);
  const found = { mean, sd: Math.sqrt(square - mean * mean) };
  known.set(n, found);
  return found;
}

function rangeSurvival(n: number): Float64Array {
  const across = Math.round((2 * REACH) / STEP);
  const widths = Math.round(WIDEST / STEP);
  const cdf = Float64Array.from({ length: across + widths + 1 }, (_, i) => normalCdf(i * STEP - REACH));
  const density = Float64Array.from({ length: across + 1 }, (_, i) => normalDensity(i * STEP - REACH));
  return Float64Array.from({ length: widths + 1 }, (_, w) => {
    let below = 0;
    for (let x = 0; x <= across; x += 1) below += density[x]! * (cdf[x + w]! - cdf[x]!) ** (n - 1);
    return 1 - n * STEP * below;
  });
}

/** Integral of f over the grid by Romberg's first two columns; `length` - 1 is a multiple of four. */
function extrapolated(f: (i: number) => number, length: number): number {
  const trapezoid = (stride: number): number => {
    let sum = (f(0) + f(length - 1)) / 2;
    for (let i = stride; i < length - 1; i += stride) sum += f(i);
    return sum * stride * STEP;
  };
  const fine = trapezoid(1);
  const middle = trapezoid(2);
  const coarse = trapezoid(4);
  const fine2 = fine + (fine - middle) / 3;
  const middle2 = middle + (middle - coarse) / 3;
  return fine2 + (fine2 - middle2) / 15;
}
