import binomial from "@stdlib/stats-base-dists-binomial-cdf";
import poisson from "@stdlib/stats-base-dists-poisson-cdf";
import { LARGE_SHAPE, largeGammaShares } from "./incomplete-gamma.ts";
import { normalCdf } from "./normal.ts";

/** Chance of at most x hits in n trials of probability p each. */
export function binomialCdf(x: number, n: number, p: number): number {
  if (!(Number.isInteger(n) && n >= 0 && p >= 0 && p <= 1) || Number.isNaN(x)) {
    throw new RangeError(`a binomial probability needs whole n and 0 <= p <= 1, got ${x}, ${n}, ${p}`);
  }
  return binomial(x, n, p);
}

/** Chance of at most x events where `mean` are expected. */
export function poissonCdf(x: number, mean: number): number {
  if (!(mean >= 0) || Number.isNaN(x)) {
    throw new RangeError(`a Poisson probability needs a mean of zero or more, got ${x}, ${mean}`);
  }
  // At most x events in a unit of time is the next one coming later than that.
  const next = Math.floor(x) + 1;
  return next < LARGE_SHAPE || next === Infinity ? poisson(x, mean) : largeGammaShares(mean, next, normalCdf).above;
}
