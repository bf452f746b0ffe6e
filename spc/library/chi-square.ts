import cdf from "@stdlib/stats-base-dists-chisquare-cdf";
import quantile from "@stdlib/stats-base-dists-chisquare-quantile";
import { LARGE_SHAPE, largeGammaDensity, largeGammaShares } from "./incomplete-gamma.ts";
import { normalCdf, normalQuantile } from "./normal.ts";

/** Value that chi-square with `df` degrees of freedom, not necessarily whole, stays below with probability p. */
export function chiSquareQuantile(p: number, df: number): number {
  if (!(p > 0 && p < 1 && df > 0)) {
    throw new RangeError(`a chi-square quantile needs 0 < p < 1 and df > 0, got ${p}, ${df}`);
  }
  return df < 2 * LARGE_SHAPE ? quantile(p, df) : 2 * largeGammaQuantile(p, df / 2);
}

/** Share of chi-square with `df` degrees of freedom at or below x. */
export function chiSquareCdf(x: number, df: number): number {
  if (!(df > 0) || Number.isNaN(x)) throw new RangeError(`a chi-square probability needs df > 0, got ${x}, ${df}`);
  return df < 2 * LARGE_SHAPE ? cdf(x, df) : largeGammaShares(x / 2, df / 2, normalCdf).below;
}

/** Newton's steps on the smaller tail, from Wilson and Hilferty's cube root, which is the answer where shapes are huge. */
function largeGammaQuantile(p: number, shape: number): number {
  const start = shape * (1 - 1 / (9 * shape) + normalQuantile(p) / (3 * Math.sqrt(shape))) ** 3;
  if (shape > 1e9) return start;
  let x = start;
  for (let step = 0; step < 20; step += 1) {
    const { below, above } = largeGammaShares(x, shape, normalCdf);
    const excess = p < 0.5 ? below - p : 1 - p - above;
    const moved = excess / largeGammaDensity(x, shape);
    x -= moved;
    if (Math.abs(moved) <= 1e-15 * x) break;
  }
  return x;
}
