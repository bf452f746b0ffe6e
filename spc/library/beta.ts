import quantile from "@stdlib/stats-base-dists-beta-quantile";

/** Value that a beta variable with shapes a and b stays below with probability p. */
export function betaQuantile(p: number, a: number, b: number): number {
  if (!(p > 0 && p < 1 && a > 0 && b > 0)) {
    throw new RangeError(`a beta quantile needs 0 < p < 1 and shapes above zero, got ${p}, ${a}, ${b}`);
  }
  return quantile(p, a, b);
}
