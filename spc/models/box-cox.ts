import { chiSquareQuantile } from "../library/chi-square.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { mean } from "../stats/moments.ts";
import { valuesToFit } from "./fitted-values.ts";
import { peakBetween, rootBetween } from "./search.ts";

/** A power that makes values normal, as well as any power can. */
export interface BoxCoxFit {
  /** The likeliest. */
  readonly lambda: number;
  /** Ends of its interval; null where the likelihood does not fall off within -10 to 10. */
  readonly lower: number | null;
  readonly upper: number | null;
  readonly confidence: number;
  /** The one to use: a power people know (-2 to 2 by halves) when it lies inside the interval, else the likeliest. */
  readonly chosen: number;
  readonly logLikelihood: number;
}

/** Powers among which the likeliest is looked for, and the wider range of its interval. */
const SEARCHED = 5;
const WIDEST = 10;

/**
 * Box-Cox fit: the power after which the values are likeliest normal.
 *
 * @shape   25 or more values above zero, in any order; a shift, if any, is the caller's to declare; the confidence
 * @unit    lambda dimensionless
 * @method  maximum of -n/2 ln(sum (y - mean y)^2 / n) + (lambda - 1) sum ln x with y = (x^lambda - 1) / lambda, which
 *          is computed on x over its geometric mean; the interval where it falls by half the chi-square quantile, df 1
 * @refuses too-few, not-positive, zero-variation; no-fit when it still rises at -5 or 5: the values lie so far from
 *          zero, against their spread, that a power does next to nothing
 * @throws  RangeError for a value that is no number or a confidence out of range: a defect in the caller
 * @cost    O(n), some 200 times
 * @source  Box and Cox 1964, J. Roy. Stat. Soc. B 26:211-252 (from memory)
 * @checked tests/reference/spc/models/box-cox.test.ts
 */
export function fitBoxCox(values: readonly number[], confidence: number): Outcome<BoxCoxFit> {
  if (!(confidence > 0 && confidence < 1)) throw new RangeError(`a confidence lies between 0 and 1, got ${confidence}`);
  const checked = valuesToFit(values, "above-zero");
  if (!checked.ok) return checked;
  const logs = values.map(Math.log);
  const centre = mean(logs);
  const away = logs.map((log) => log - centre);
  if (!away.some((log) => log !== 0)) return refuse("zero-variation", "the logarithms of all values are equal");
  const likelihood = (lambda: number): number => logLikelihood(away, centre, lambda);

  const lambda = peakBetween(likelihood, -SEARCHED, SEARCHED);
  const most = likelihood(lambda);
  if (Math.abs(lambda) > SEARCHED - 1e-6 || !Number.isFinite(most)) {
    return refuse("no-fit", `the likelihood still rises at a power of ${Math.sign(lambda) * SEARCHED}: none fits`);
  }
  const over = (l: number): number => likelihood(l) - most + chiSquareQuantile(confidence, 1) / 2;
  const lower = over(-WIDEST) < 0 ? rootBetween(over, -WIDEST, lambda) : null;
  const upper = over(WIDEST) < 0 ? rootBetween(over, lambda, WIDEST) : null;
  const known = Math.min(Math.max(Math.round(2 * lambda) / 2, -2), 2);
  const inside = known >= (lower ?? -WIDEST) && known <= (upper ?? WIDEST);
  // A rounded minus zero is zero.
  return ok({ lambda, lower, upper, confidence, chosen: inside ? known + 0 : lambda, logLikelihood: most });
}

/** Of values given as their logarithms from the mean logarithm. */
function logLikelihood(away: readonly number[], centre: number, lambda: number): number {
  const n = away.length;
  const powers = Math.abs(lambda) < 1e-100 ? away : away.map((log) => Math.expm1(lambda * log) / lambda);
  const middle = mean(powers);
  let squares = 0;
  for (const power of powers) squares += (power - middle) ** 2;
  const found = -(n / 2) * Math.log(squares / n) - n * centre;
  // Powers that overflow, or run together, are as unlikely as can be.
  return Number.isFinite(found) ? found : -Infinity;
}
