import cdf from "@stdlib/stats-base-dists-t-cdf";
import quantile from "@stdlib/stats-base-dists-t-quantile";

/** Value that Student's t with `df` degrees of freedom stays below with probability p. */
export function tQuantile(p: number, df: number): number {
  if (!(p > 0 && p < 1 && df > 0)) throw new RangeError(`a t quantile needs 0 < p < 1 and df > 0, got ${p}, ${df}`);
  return quantile(p, df);
}

/** Share of Student's t with `df` degrees of freedom at or below t. */
export function tCdf(t: number, df: number): number {
  if (!(df > 0) || Number.isNaN(t)) throw new RangeError(`a t probability needs df > 0, got ${t}, ${df}`);
  return cdf(t, df);
}
