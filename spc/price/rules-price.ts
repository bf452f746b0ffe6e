import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { ruleById } from "../rules/rule.ts";
import type { KnownRunLength } from "./rules-run-length.ts";
import { knownRunLength } from "./rules-run-length.ts";
import type { Simulation } from "./simulated-run-length.ts";

export interface PriceOptions {
  /** Plotted points a week at the site's rate. */
  readonly pointsAWeek: number;
  /** The shift that matters, in sigma of the plotted statistic; 1 unless said otherwise. */
  readonly shift?: number;
  /** Half-width of the limits in sigma of the plotted statistic; 3 unless said otherwise. */
  readonly limit?: number;
  readonly simulation?: Simulation;
}

/** What a set of rules costs and what it buys. */
export interface Price {
  /** Points from one signal by chance to the next, with nothing wrong. */
  readonly inControl: KnownRunLength;
  /** Points until a shift of `shift` sigma is found. */
  readonly shifted: KnownRunLength;
  readonly shift: number;
  readonly chanceSignalsAWeek: number;
  /** `exact`, or `simulated` where a standard error stands beside the run lengths. */
  readonly method: "exact" | "simulated";
}

/**
 * Price of rules: how often a set of rules cries wolf, and how soon it finds a shift that matters.
 *
 * @shape   names of rules, variants included; points a week, shift and half-width of the limits in sigma
 * @unit    points; signals a week
 * @method  independent normal values and known limits (`knownRunLength`). Counting starts anew after each signal, as it
 *          does after a person's done. A chart of limits from few values costs more: `estimatedLimits`
 * @refuses no-rules; never-fires, where not one signal would come in any time that can be written
 * @throws  RangeError for a rule without a row, a rate below zero, a shift or limit that is no number
 * @cost    some milliseconds the first time, or up to a second with a simulation; nothing the second time
 * @source  Champ and Woodall 1987, Technometrics 29:393-399 (from memory)
 * @checked tests/reference/spc/price-rules/run-lengths.test.ts
 */
export function priceOf(rules: readonly string[], options: PriceOptions): Outcome<Price> {
  const { pointsAWeek, shift = 1, limit, simulation } = options;
  if (!(Number.isFinite(pointsAWeek) && pointsAWeek >= 0)) {
    throw new RangeError(`a rate is a number of points a week, got ${pointsAWeek}`);
  }
  const rows = [...new Set(rules)].map(ruleById);
  if (rows.length === 0)
    return refuse("no-rules", "without rules nothing signals, so there is no price", { needs: 1, has: 0 });
  const lines = limit === undefined ? {} : { limit };
  const inControl = knownRunLength(rows, lines, simulation);
  const shifted = knownRunLength(rows, { ...lines, shift }, simulation);
  if (![inControl, shifted].every(({ mean, sd }) => Number.isFinite(mean) && Number.isFinite(sd))) {
    return refuse("never-fires", "with lines this wide no signal comes in any time that can be written");
  }
  return ok({
    inControl,
    shifted,
    shift,
    chanceSignalsAWeek: pointsAWeek / inControl.mean,
    method: inControl.standardError === null ? "exact" : "simulated",
  });
}
