import logGammaOf from "@stdlib/math-base-special-gammaln";
import cdf from "@stdlib/stats-base-dists-gamma-cdf";
import { LARGE_SHAPE, largeGammaShares } from "./incomplete-gamma.ts";
import { normalCdf } from "./normal.ts";

/** Natural logarithm of the gamma function of x > 0. */
export function logGamma(x: number): number {
  if (!(x > 0)) throw new RangeError(`the logarithm of gamma needs x > 0, got ${x}`);
  return logGammaOf(x);
}

/** Share of a gamma variable of that shape, scale 1, at or below x. */
export function gammaCdf(x: number, shape: number): number {
  if (!(shape > 0) || Number.isNaN(x)) throw new RangeError(`a gamma probability needs shape > 0, got ${x}, ${shape}`);
  return shape < LARGE_SHAPE ? cdf(x, shape, 1) : largeGammaShares(x, shape, normalCdf).below;
}
