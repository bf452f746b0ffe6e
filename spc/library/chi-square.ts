import cdf from "@stdlib/stats-base-dists-chisquare-cdf";
import quantile from "@stdlib/stats-base-dists-chisquare-quantile";

/** Value that chi-square with `df` degrees of freedom, not necessarily whole, stays below with probability p. */
export function chiSquareQuantile(p: number, df: number): number {
  if (!(p > 0 && p < 1 && df > 0)) {
    throw new RangeError(`a chi-square quantile needs 0 < p < 1 and df > 0, got ${p}, ${df}`);
  }
  return quantile(p, df);
}

/** Share of chi-square with `df` degrees of freedom at or below x. */
export function chiSquareCdf(x: number, df: number): number {
  if (!(df > 0) || Number.isNaN(x)) throw new RangeError(`a chi-square probability needs df > 0, got ${x}, ${df}`);
  return cdf(x, df);
}
