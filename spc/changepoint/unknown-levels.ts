import type { Caution } from "../model/drawn-chart.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { autocorrelationBand } from "../stats/autocorrelation.ts";
import { dependenceCaution, residualLag } from "./dependence.ts";
import type { FalseFinds } from "./largest-f.ts";
import { largestF } from "./largest-f.ts";
import { highestDensitySet, posteriorOf } from "./posterior.ts";
import { twoLevels } from "./two-levels.ts";

/** Beyond this a series tells nothing of its level. */
const MOST_LAG = 0.97;

/** One change of level that chance does not explain. */
export interface LevelChange {
  /** First place of the new level. */
  readonly index: number;
  readonly before: number;
  readonly after: number;
  /** The change, over the variance within both levels. */
  readonly f: number;
  /** What f exceeds by chance as often as `falseFinds` says; widened where neighbours are alike. */
  readonly threshold: number;
  readonly falseFinds: FalseFinds;
  /** Probability that the new level begins at `index`, given one change. */
  readonly probability: number;
  /** First places that hold 95 % of the probability, ascending. */
  readonly set: readonly number[];
  readonly cautions: readonly Caution[];
}

/**
 * Change point, neither level known: whether and since when a series runs at another level.
 *
 * @shape   10 or more finite values in time order; `falseFinds`: how often a series without a change gives one
 * @unit    levels that of the values, f dimensionless
 * @method  largest k (n - k) / n (mean before - mean after)^2 over the variance within both levels (n - 2), against
 *          thresholds by simulation; where lag 1 of the residuals lies above its band the threshold is widened by
 *          (1 + r)/(1 - r), r their lag 1 corrected by (2 + 4 r)/n and at most 0.97. The set is the 95 % highest-density set of the posterior. False finds in our own simulation at the usual
 *          1 %: 1 % independent; 3.4 % at lag-1 0.3 and n 100, 1.3 % at 0.5 and 200, 0.9 % at 0.7 and 500
 * @refuses no-change below the threshold; too-few, zero-variation as `twoLevels`
 * @throws  RangeError for values that are not finite: a defect in the caller
 * @cost    O(n)
 * @source  Hawkins, Qiu and Kang 2003, Journal of Quality Technology 35:355-366 (from memory), thresholds simulated
 *          here; widening: variance of an AR(1) mean, derived here
 * @checked tests/reference/spc/changepoint/changepoint.test.ts
 */
export function changePointUnknown(values: ArrayLike<number>, falseFinds: FalseFinds = 0.01): Outcome<LevelChange> {
  const n = values.length;
  const cut = twoLevels(values);
  if (!cut.ok) return cut;
  const { index, before, after, explained, total, scale } = cut.value;
  const best = explained[index]!;
  const f = best / ((total - best) / (n - 2));
  // In scaled units, so that their squares stay within the range of numbers.
  const residuals = new Float64Array(n);
  for (let i = 0; i < n; i += 1) {
    residuals[i] = (values[i]! * scale.outer - (i < index ? before : after) * scale.outer) * scale.inner;
  }
  const raw = residualLag(residuals);
  // Two fitted means pull lag 1 down by about (2 + 4 r) / n.
  const lag = Math.min(MOST_LAG, raw + (2 + 4 * raw) / n);
  const widened = lag > autocorrelationBand(n)[1] ? (1 + lag) / (1 - lag) : 1;
  const threshold = largestF(n, falseFinds) * widened;
  if (!(f > threshold)) {
    return refuse(
      "no-change",
      `the largest change of level reaches F = ${f.toFixed(2)}, chance alone ${threshold.toFixed(2)}`,
    );
  }
  const probabilities = posteriorOf(cut.value);
  return ok({
    index,
    before,
    after,
    f,
    threshold,
    falseFinds,
    probability: probabilities[index]!,
    set: highestDensitySet(probabilities),
    cautions: dependenceCaution(residuals),
  });
}
