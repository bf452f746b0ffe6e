import type { Caution } from "../model/drawn-chart.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { extremes } from "../stats/finite.ts";
import { dependenceCaution } from "./dependence.ts";
import type { SetConfidence } from "./largest-drop.ts";
import { largestDrop } from "./largest-drop.ts";

/** Equal within this share of the largest is equal: the earliest of equals is told. */
const TIE = 1e-12;

/** When a process left a known level. */
export interface KnownCentreChange {
  /** First place of the new level. */
  readonly index: number;
  /** Mean of the new level. */
  readonly after: number;
  /** Largest (T - t) (mean after t - centre)^2, in units of sigma squared. */
  readonly criterion: number;
  /** First places of the new level that the data leave possible, ascending. */
  readonly set: readonly number[];
  /** The set holds the true place at least so often. */
  readonly confidence: SetConfidence;
  readonly cautions: readonly Caution[];
}

/**
 * Change point after a signal, the level before it known: since when the process has been off.
 *
 * @shape   `values`: the plotted statistic in time order; `centre` and `sigma` its own level and sigma while nothing has
 *          changed; `upTo`: how many values count, the signalling one being the last
 * @unit    `after` that of the values, `criterion` in sigma squared
 * @method  maximum likelihood: largest (T - t)(mean of t + 1 .. T less centre)^2 over t = 0 .. T - 1, the earliest of
 *          equals; the set holds every t whose log-likelihood lies at most `largestDrop` below the largest
 * @refuses no-change when every value equals the centre; not-finite when a distance leaves the range of numbers.
 *          Caution autocorrelated: the place may then be far off, residuals of a model should be asked instead
 * @throws  RangeError for `upTo` out of range, a sigma that is not above zero, or values that are not finite: a defect
 *          in the caller
 * @cost    O(T)
 * @source  Samuel, Pignatiello and Calvin 1998, Quality Engineering 10:521-527; set: Pignatiello and Samuel 2001,
 *          Journal of Quality Technology 33:357-365 (both from memory), its drop calibrated here
 * @checked tests/reference/spc/changepoint/changepoint.test.ts
 */
export function changePointKnownCentre(
  values: ArrayLike<number>,
  centre: number,
  sigma: number,
  upTo: number = values.length,
  confidence: SetConfidence = 0.95,
): Outcome<KnownCentreChange> {
  if (!(Number.isInteger(upTo) && upTo >= 1 && upTo <= values.length)) {
    throw new RangeError(`the values up to the signal must be 1 to ${values.length}, got ${upTo}`);
  }
  if (!(sigma > 0 && Number.isFinite(sigma) && Number.isFinite(centre))) {
    throw new RangeError(`a known level needs a finite centre and a sigma above zero, got ${centre}, ${sigma}`);
  }
  extremes(values);
  const criteria = new Float64Array(upTo);
  let sum = 0;
  let lost = 0;
  let largest = 0;
  for (let t = upTo - 1; t >= 0; t -= 1) {
    // Compensated: the sum runs over millions of values and its small differences decide.
    const z = (values[t]! - centre) / sigma;
    const next = sum + z;
    lost += Math.abs(sum) >= Math.abs(z) ? sum - next + z : z - next + sum;
    sum = next;
    const criterion = (sum + lost) ** 2 / (upTo - t);
    if (!Number.isFinite(criterion))
      return refuse("not-finite", "a distance from the centre leaves the range of numbers");
    criteria[t] = criterion;
    if (criterion > largest) largest = criterion;
  }
  if (largest === 0) return refuse("no-change", "every value equals the centre");
  const index = criteria.findIndex((criterion) => criterion >= largest * (1 - TIE));
  const set: number[] = [];
  const least = largest * (1 - TIE) - 2 * largestDrop(confidence);
  for (let t = 0; t < upTo; t += 1) if (criteria[t]! >= least) set.push(t);

  let rest = 0;
  for (let t = index; t < upTo; t += 1) rest += (values[t]! - centre) / (upTo - index);
  const after = centre + rest;
  // The criteria have served; what is left at each place takes their memory.
  for (let t = 0; t < upTo; t += 1) criteria[t] = (values[t]! - (t < index ? centre : after)) / sigma;
  const cautions = dependenceCaution(criteria);
  return ok({ index, after, criterion: largest, set, confidence, cautions });
}
