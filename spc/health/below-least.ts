import type { Reading } from "../features/readings.ts";
import { median } from "../stats/quantile.ts";
import type { HealthFinding } from "./finding.ts";
import { difference, figure } from "./shown-words.ts";

export interface LeastPlan {
  /** How far below it may read: what both instruments err. */
  readonly within: number;
  readonly noise: number;
  /** When it is looked at, in words: `at the end of the load`. */
  readonly where: string;
  readonly unit: string;
}

const leastReadings = 5;
/** Sigma of the median that chance is given beyond the tolerance. */
const slackSigma = 6;

/**
 * Below the least possible: a witness cannot weigh less than its own dry coat, however dry it is. What reads less is held
 * up, or has lost its zero; what reads more says nothing.
 *
 * @shape   good readings of the end of a run, 5 or more; least: what another instrument says is the least possible
 * @unit    that of the series
 * @method  median below the least by more than the tolerance and 6 sigma of single noise over root n: `fault`. The median
 *          of normals has 1.25 times the error of their mean, so that is 4.8 of its sigma: by chance less than once in a
 *          million runs even at the tolerance
 * @cost    O(n log n)
 * @source  standard error of a median; the least is the settings' word
 * @checked tests/unit/spc/health/below-least.test.ts
 */
export function belowLeast(readings: readonly Reading[], least: number, plan: LeastPlan): HealthFinding | null {
  const n = readings.length;
  if (n < leastReadings) return null;
  const own = median(readings.map(({ value }) => value));
  const fault = least - own > plan.within + (slackSigma * plan.noise) / Math.sqrt(n);
  const says =
    `read ${figure(own, plan.unit)} ${plan.where} over ${n} readings, where it must read ` +
    `${figure(least, plan.unit)} at least: off by ${difference(own - least, plan.unit)}, ` +
    `${difference(plan.within, plan.unit)} is allowed`;
  return { check: "below-least", verdict: fault ? "fault" : "well", says };
}
