import cdf from "@stdlib/stats-base-dists-normal-cdf";
import quantile from "@stdlib/stats-base-dists-normal-quantile";

/** Share of a standard normal at or below z. */
export function normalCdf(z: number): number {
  return cdf(z, 0, 1);
}

/**
 * Value that a standard normal stays below with probability p, 0 < p < 1. The package's own is right to eight digits at
 * six sigma and to none at nine, so it is only where Newton's steps on the logarithm of the tail begin.
 */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`a normal quantile needs 0 < p < 1, got ${p}`);
  if (p > 0.02) return p <= 0.98 ? quantile(p, 0, 1) : -lowerTail(1 - p);
  return lowerTail(p);
}

function lowerTail(p: number): number {
  const start = quantile(p, 0, 1);
  let z = Number.isFinite(start) ? start : -Math.sqrt(-2 * Math.log(p));
  for (let step = 0; step < 30; step += 1) {
    const below = normalCdf(z);
    // Beyond the smallest numbers there is no tail left to compare.
    if (!(below > 0)) break;
    const moved = ((Math.log(below) - Math.log(p)) * below) / normalDensity(z);
    z -= moved;
    if (Math.abs(moved) <= 1e-15 * Math.abs(z)) break;
  }
  return z;
}

/** Density of a standard normal at z. */
export function normalDensity(z: number): number {
  return Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
}
