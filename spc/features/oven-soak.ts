import { type Outcome, ok, refuse } from "../model/outcome.ts";
import type { RunTrace } from "../model/run.ts";
import { median } from "../stats/quantile.ts";
import { blocksOf } from "./blocks.ts";
import { coveredReadings, type Reading, soundReadings, spacingOf } from "./readings.ts";
import { longEnough, type Window, wholeRun } from "./window.ts";

/** Roles of the oven's positions. */
export const ovenRoles: readonly string[] = ["t1", "t2", "t3"];

/** Numbers of the oven features: set temperature in Cel, and how near in K counts as reached. */
export const ovenDefaults: { readonly set: number; readonly tolerance: number } = { set: 55, tolerance: 2 };

export const minuteMs = 60_000;
/** Shortest soak that says something of a load: one block of `oven.spread`. */
const leastSoakMs = 10 * minuteMs;

export interface Soak {
  readonly window: Window;
  /** Good readings of each position in the soak, in the order of `ovenRoles`. */
  readonly positions: readonly (readonly Reading[])[];
}

/**
 * The soak of an oven load: from when every position has first come within the tolerance of the set temperature, until
 * the load went out.
 *
 * @shape   roles `t1`, `t2`, `t3`
 * @unit    Cel
 * @method  a position has come when the median of a whole minute, counted from load in, is no lower than set minus
 *          tolerance, so a spike does not start a soak; one that then runs hot, or falls back, stays in it
 * @refuses `soak-not-reached`; `hole-at-crossing` when a position came near while it was not measured; `segment-too-short` under ten minutes; those of `wholeRun` and `coveredReadings`
 * @cost    O(n log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/oven.test.ts
 */
export function ovenSoak(
  trace: RunTrace,
  numbers: { readonly set: number; readonly tolerance: number },
): Outcome<Soak> {
  const run = wholeRun(trace.run);
  if (!run.ok) return run;
  let fromMs = run.value.fromMs;
  for (const role of ovenRoles) {
    const every = spacingOf(trace, role);
    if (!every.ok) return every;
    const minutes = minuteMedians(soundReadings(trace, role), run.value, every.value);
    const reached = minutes.findIndex((value) => value !== null && value >= numbers.set - numbers.tolerance);
    if (reached < 0) {
      return refuse("soak-not-reached", `${role} never came within ${numbers.tolerance} K of ${numbers.set} Cel`);
    }
    if (reached > 0 && minutes[reached - 1] === null) {
      return refuse(
        "hole-at-crossing",
        `${role} was not measured in the minute before it came near its set temperature`,
      );
    }
    fromMs = Math.max(fromMs, run.value.fromMs + reached * minuteMs);
  }
  const window = longEnough({ name: "the soak", fromMs, toMs: run.value.toMs }, leastSoakMs);
  if (!window.ok) return window;
  const positions: (readonly Reading[])[] = [];
  for (const role of ovenRoles) {
    const readings = coveredReadings(trace, role, window.value);
    if (!readings.ok) return readings;
    positions.push(readings.value);
  }
  return ok({ window: window.value, positions });
}

/**
 * Median of each whole minute of a window, or null where half its readings or more are missing.
 *
 * @shape  readings in time order
 * @unit   that of the readings
 * @cost   O(n log n)
 * @source derived here
 */
export function minuteMedians(
  readings: readonly Reading[],
  window: Window,
  everyMs: number,
): readonly (number | null)[] {
  return blocksOf(readings, window, minuteMs).map((block) =>
    2 * block.length * everyMs > minuteMs ? median(block.map(({ value }) => value)) : null,
  );
}
