import type { Outcome } from "../model/outcome.ts";
import { ok } from "../model/outcome.ts";
import { shiftedSum } from "../stats/sums.ts";
import type { TwoLevels } from "./two-levels.ts";
import { twoLevels } from "./two-levels.ts";

/**
 * Posterior of a change point: how likely each place is to begin the new level, if there is one change and no more.
 *
 * @shape   10 or more finite values in time order; `[k]` belongs to a new level that begins at place k, so `[0]` is 0
 * @unit    probabilities that add up to 1
 * @method  p(k) proportional to (k (n - k))^-1/2 S_k^-(n - 2)/2, S_k the squares left about the two means: flat prior
 *          on both means and on the place, 1/sigma on sigma
 * @refuses too-few, zero-variation as `twoLevels`
 * @throws  RangeError for values that are not finite: a defect in the caller
 * @cost    O(n), two arrays
 * @source  Smith 1975, Biometrika 62:407-416 (from memory)
 * @checked tests/reference/spc/changepoint/changepoint.test.ts
 */
export function changePointPosterior(values: ArrayLike<number>): Outcome<Float64Array> {
  const found = twoLevels(values);
  return found.ok ? ok(posteriorOf(found.value)) : found;
}

/**
 * Posterior of a change point from levels already cut.
 *
 * @shape   what `twoLevels` gives
 * @unit    probabilities that add up to 1
 * @method  logarithms relative to the best cut, ln(S_k / S_best) = log1p((E_best - E_k) / S_best), so that ten million
 *          values neither overflow nor cancel
 * @cost    O(n), one array
 * @source  as `changePointPosterior`
 * @checked tests/reference/spc/changepoint/changepoint.test.ts
 */
export function posteriorOf({ explained, total, index }: TwoLevels): Float64Array {
  const n = explained.length;
  const best = explained[index]!;
  const left = total - best;
  const weights = new Float64Array(n);
  let highest = Number.NEGATIVE_INFINITY;
  for (let k = 1; k < n; k += 1) {
    const log = -0.5 * Math.log(k * (n - k)) - ((n - 2) / 2) * Math.log1p((best - explained[k]!) / left);
    weights[k] = log;
    if (log > highest) highest = log;
  }
  weights[0] = Number.NEGATIVE_INFINITY;
  for (let k = 0; k < n; k += 1) weights[k] = Math.exp(weights[k]! - highest);
  const sum = shiftedSum(weights, 1, 0);
  for (let k = 0; k < n; k += 1) weights[k] = weights[k]! / sum;
  return weights;
}

/**
 * Highest-density set: the fewest places that together hold a share of the posterior.
 *
 * @shape   probabilities that add up to 1; `share` above 0 and below 1
 * @unit    places, ascending
 * @method  the most probable first, until the share is reached; of equals the earlier place first
 * @throws  RangeError for a share out of range: a defect in the caller
 * @cost    O(n + k log k), k places holding all but a ten-thousandth of what the share leaves out
 * @source  highest posterior density: Box and Tiao 1973, Bayesian Inference in Statistical Analysis (from memory)
 * @checked tests/reference/spc/changepoint/changepoint.test.ts
 */
export function highestDensitySet(probabilities: Float64Array, share = 0.95): readonly number[] {
  if (!(share > 0 && share < 1)) throw new RangeError(`a share lies between 0 and 1, got ${share}`);
  // Places so improbable that all of them together could not matter are not sorted.
  const least = ((1 - share) * 1e-4) / probabilities.length;
  const candidates: number[] = [];
  for (let k = 0; k < probabilities.length; k += 1) if (probabilities[k]! > least) candidates.push(k);
  candidates.sort((a, b) => probabilities[b]! - probabilities[a]! || a - b);
  const set: number[] = [];
  let held = 0;
  for (const place of candidates) {
    if (held >= share) break;
    set.push(place);
    held += probabilities[place]!;
  }
  return set.sort((a, b) => a - b);
}
