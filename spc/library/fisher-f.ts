import cdf from "@stdlib/stats-base-dists-f-cdf";
import quantile from "@stdlib/stats-base-dists-f-quantile";

/** Value that F with the two degrees of freedom stays below with probability p. */
export function fQuantile(p: number, df1: number, df2: number): number {
  if (!(p > 0 && p < 1 && df1 > 0 && df2 > 0)) {
    throw new RangeError(`an F quantile needs 0 < p < 1 and df > 0, got ${p}, ${df1}, ${df2}`);
  }
  return quantile(p, df1, df2);
}

/** Share of F with the two degrees of freedom at or below x. */
export function fCdf(x: number, df1: number, df2: number): number {
  if (!(df1 > 0 && df2 > 0) || Number.isNaN(x)) {
    throw new RangeError(`an F probability needs df > 0, got ${x}, ${df1}, ${df2}`);
  }
  return cdf(x, df1, df2);
}
