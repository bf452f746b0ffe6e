import type { Vectors } from "../model/vectors.ts";
import type { VectorEstimate } from "./vector-estimate.ts";

/** Distances whose squares would leave the range of numbers: farther away than anything that can be asked about. */
const FARTHEST = 1e150;

/**
 * Standardised means of subgroups: how far each component lies from the mean, in its own deviations.
 *
 * @shape   complete vectors in subgroups and the estimate; then a place. Null for an empty place, else a list that the
 *          next call fills anew, so that millions of places need no list each
 * @unit    dimensionless
 * @method  (mean of the subgroup - mean) / deviation, component by component
 * @cost    O(n p)
 * @source  definition
 * @checked tests/unit/spc/multivariate/vector-estimate.test.ts
 */
export function standardiser(
  { rows, starts, dimension: p }: Vectors,
  { mean, deviations }: VectorEstimate,
): (place: number) => Float64Array | null {
  const z = new Float64Array(p);
  const [centre, deviation] = [Float64Array.from(mean), Float64Array.from(deviations)];
  return (place) => {
    const from = starts[place]!;
    const n = starts[place + 1]! - from;
    if (n === 0) return null;
    for (let j = 0; j < p; j += 1) {
      let sum = 0;
      for (let r = from * p + j, end = r + n * p; r < end; r += p) sum += (rows[r]! - centre[j]!) / deviation[j]! / n;
      // Farther is no farther: a number that cannot be told from infinity still lies outside every limit.
      z[j] = sum > FARTHEST || Number.isNaN(sum) ? FARTHEST : Math.max(-FARTHEST, sum);
    }
    return z;
  };
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
export function squaredDistance(z: ArrayLike<number>, whitening: VectorEstimate["whitening"], weight: number): number {
  let sum = 0;
  for (let i = 0; i < z.length; i += 1) {
    const row = whitening[i]!;
    let y = 0;
    for (let j = 0; j <= i; j += 1) y += row[j]! * z[j]!;
    sum += y * y;
  }
  return Math.min(Number.MAX_VALUE, weight * sum);
}
