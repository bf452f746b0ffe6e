import cdf from "@stdlib/stats-base-dists-normal-cdf";
import quantile from "@stdlib/stats-base-dists-normal-quantile";

/** Share of a standard normal at or below z. */
export function normalCdf(z: number): number {
  return cdf(z, 0, 1);
}

/** Value that a standard normal stays below with probability p, 0 < p < 1. */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`a normal quantile needs 0 < p < 1, got ${p}`);
  return quantile(p, 0, 1);
}

/** Density of a standard normal at z. */
export function normalDensity(z: number): number {
  return Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
}
