import type { Vectors } from "../model/vectors.ts";
import type { VectorEstimate } from "./vector-estimate.ts";

/** Distances whose squares would leave the range of numbers: farther away than anything that can be asked about. */
const FARTHEST = 1e150;

/**
 * Standardised mean of a subgroup: how far each component lies from the mean, in its own deviations.
 *
 * @shape   complete vectors in subgroups, the place, the estimate; null for an empty place
 * @unit    dimensionless
 * @method  (mean of the subgroup - mean) / deviation, component by component
 * @cost    O(n p)
 * @source  definition
 * @checked tests/unit/spc/multivariate/vector-estimate.test.ts
 */
export function standardised(data: Vectors, place: number, estimate: VectorEstimate): readonly number[] | null {
  const { rows, starts, dimension: p } = data;
  const [from, to] = [starts[place]!, starts[place + 1]!];
  if (to === from) return null;
  return estimate.mean.map((mean, j) => {
    let sum = 0;
    for (let r = from; r < to; r += 1) sum += (rows[r * p + j]! - mean) / estimate.deviations[j]! / (to - from);
    // Farther is no farther: a number that cannot be told from infinity still lies outside every limit.
    return Math.max(-FARTHEST, Math.min(FARTHEST, Number.isNaN(sum) ? FARTHEST : sum));
  });
}

/**
 * Squared distance: how far a standardised vector lies from the centre, all correlations considered.
 *
 * @shape   standardised components, the whitening of the estimate, a weight (vectors in the subgroup, or one over the
 *          variance of a weighted mean)
 * @unit    dimensionless
 * @method  weight |W z|^2 = weight z' R^-1 z
 * @cost    O(p^2)
 * @source  Hotelling 1947 (from memory)
 * @checked tests/reference/spc/multivariate/t2.test.ts
 */
export function squaredDistance(z: readonly number[], whitening: VectorEstimate["whitening"], weight: number): number {
  let sum = 0;
  for (let i = 0; i < z.length; i += 1) {
    const row = whitening[i]!;
    let y = 0;
    for (let j = 0; j <= i; j += 1) y += row[j]! * z[j]!;
    sum += y * y;
  }
  return Math.min(Number.MAX_VALUE, weight * sum);
}
