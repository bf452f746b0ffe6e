import type { Stage } from "../model/stage.ts";
import { squaredDistance } from "./vector-distance.ts";
import type { VectorEstimate } from "./vector-estimate.ts";

/** A point of a MEWMA: the standardised mean of n vectors, or null for an empty place. */
export interface MewmaInput {
  readonly z: ArrayLike<number> | null;
  readonly n: number;
}

/** What a MEWMA remembers. Plain JSON. */
export interface MewmaState {
  /** Weighted mean of the standardised vectors so far. */
  readonly mean: readonly number[];
  /** Its variance, in those of a single vector. */
  readonly variance: number;
}

/**
 * MEWMA, point by point: T2 of a weighted mean of all vectors so far.
 *
 * @shape   the estimate and lambda; standardised means with their sizes in time order
 * @unit    dimensionless
 * @method  Z = lambda z + (1 - lambda) Z from Z = 0, v = lambda^2 / n + (1 - lambda)^2 v from v = 0, which is exact from the
 *          first point on; T2 = Z' R^-1 Z / v. An empty place holds both
 * @throws  RangeError for lambda outside 0 to 1, 0 excluded: a defect in the caller
 * @cost    O(p^2) a point
 * @source  Lowry, Woodall, Champ and Rigdon 1992 (from memory); unequal sizes derived here
 * @checked tests/property/spc/multivariate/mewma.test.ts
 */
export function mewmaStage(
  { whitening, mean }: VectorEstimate,
  lambda: number,
): Stage<MewmaState, MewmaInput, number | null> {
  if (!(lambda > 0 && lambda <= 1)) throw new RangeError(`lambda must lie above 0 and up to 1, got ${lambda}`);
  return {
    initial: { mean: mean.map(() => 0), variance: 0 },
    step(state, { z, n }) {
      if (z === null) return { state, out: [null] };
      const next = state.mean.map((before, j) => lambda * z[j]! + (1 - lambda) * before);
      const variance = lambda ** 2 / n + (1 - lambda) ** 2 * state.variance;
      return { state: { mean: next, variance }, out: [squaredDistance(next, whitening, 1 / variance)] };
    },
  };
}
