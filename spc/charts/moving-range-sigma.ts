import { d2 } from "../factors/d2.ts";
import { d3 } from "../factors/d3.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { mean } from "../stats/moments.ts";

/** Moving ranges below which sigma is refused: 25 values with a few gaps. */
const LEAST_RANGES = 20;

/** Short-term sigma of single values. */
export interface MovingRangeSigma {
  readonly sigma: number;
  readonly meanRange: number;
  /** Degrees of freedom, a whole number. */
  readonly df: number;
}

/**
 * Sigma from moving ranges: how much single values vary from one to the next.
 *
 * @shape   moving ranges of two, none of them bridging a gap
 * @unit    that of the characteristic; df dimensionless
 * @method  sigma = mean MR / d2(2). df = k d2^2 / (2 d3^2 (1 + 2 r)) = 0.605 k for k ranges, rounded down, r = 0.224
 *          being the correlation of neighbouring ranges, from E|Z1 Z2| of two normals that correlate by -1/2
 * @refuses too-few under 20 moving ranges; zero-variation when the mean is nothing
 * @cost    O(k)
 * @source  NIST/SEMATECH e-Handbook 6.3.2.2; degrees of freedom derived here
 * @checked tests/reference/charts/individuals.test.ts
 */
export function movingRangeSigma(ranges: readonly number[]): Outcome<MovingRangeSigma> {
  const k = ranges.length;
  if (k < LEAST_RANGES) {
    const detail = `${LEAST_RANGES} moving ranges are needed, gaps leave ${k}`;
    return refuse("too-few", detail, { needs: LEAST_RANGES, has: k });
  }
  const meanRange = mean(ranges);
  if (!(meanRange > 0)) return refuse("zero-variation", "no value differs from the one before it");
  return ok({ sigma: meanRange / d2(2), meanRange, df: Math.floor(k * dfShare()) });
}

function dfShare(): number {
  const product = (4 / Math.PI) * (Math.sqrt(0.75) + 0.5 * Math.asin(0.5));
  const correlation = (product - d2(2) ** 2) / d3(2) ** 2;
  return d2(2) ** 2 / (2 * d3(2) ** 2 * (1 + 2 * correlation));
}
