import { d2 } from "../factors/d2.ts";
import { movingRangeDfShare } from "../sigma/moving-range.ts";
import { mean } from "../stats/moments.ts";

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
 * @shape   one or more moving ranges of two, none of them bridging a gap
 * @unit    that of the characteristic; df dimensionless
 * @method  sigma = mean MR / d2(2). df = k d2^2 / (2 d3^2 (1 + 2 r)) = 0.605 k for k ranges, rounded down, r = 0.224
 *          being the correlation of neighbouring ranges, from E|Z1 Z2| of two normals that correlate by -1/2
 * @throws  RangeError without ranges: a defect in the caller
 * @cost    O(k)
 * @source  NIST/SEMATECH e-Handbook 6.3.2.2; degrees of freedom derived here
 * @checked tests/reference/spc/charts/individuals.test.ts
 */
export function movingRangeSigma(ranges: readonly number[]): MovingRangeSigma {
  const meanRange = mean(ranges);
  return { sigma: meanRange / d2(2), meanRange, df: Math.floor(ranges.length * movingRangeDfShare()) };
}
