import type { Reading } from "../features/readings.ts";
import type { HealthFinding } from "./finding.ts";
import { difference, figure } from "./shown-words.ts";

export interface ZeroPlan {
  /** What it must read there: 0 where a chamber is open to the air. */
  readonly is: number;
  /** How far off it may be. */
  readonly within: number;
  readonly noise: number;
  /** The known state in words: `at the end of eject`. */
  readonly where: string;
  readonly unit: string;
}

const leastReadings = 5;
/** Sigma of the mean that chance is given beyond the tolerance: once in 3 million runs on either side. */
const slackSigma = 5;

/**
 * Zero at a known state: where the truth is known, what the instrument reads is its own error.
 *
 * @shape   good readings of the known state; 5 or more
 * @unit    that of the series
 * @method  |mean - known| above the tolerance and 5 sigma of the mean of that many readings: `fault`. An instrument that is
 *          right is called so less than once in a million runs, one that is at its tolerance as seldom
 * @cost    O(n)
 * @source  standard error of a mean; the known state is the settings' word
 * @checked tests/unit/spc/health/run-checks.test.ts, tests/property/spc/health/run-checks.test.ts
 */
export function zeroAt(readings: readonly Reading[], plan: ZeroPlan): HealthFinding | null {
  const n = readings.length;
  if (n < leastReadings) return null;
  const mean = readings.reduce((sum, { value }) => sum + value / n, 0);
  const off = mean - plan.is;
  const fault = Math.abs(off) > plan.within + (slackSigma * plan.noise) / Math.sqrt(n);
  const says =
    `read ${figure(mean, plan.unit)} ${plan.where} over ${n} readings, where it must read ${figure(plan.is, plan.unit)}: ` +
    `off by ${difference(off, plan.unit)}, ${difference(plan.within, plan.unit)} is allowed`;
  return { check: "zero", verdict: fault ? "fault" : "well", says };
}
