import type { RunTrace } from "../model/run.ts";
import { mean } from "../stats/moments.ts";
import { minuteMedians, ovenRoles, type Soak } from "./oven-soak.ts";

export interface OvenMinute {
  readonly mean: number;
  readonly highest: number;
}

/**
 * Each whole minute of a soak: mean and highest of the positions' medians, or null where a position lacks it.
 *
 * @unit   Cel
 * @method medians of a minute, as in `minuteMedians`
 * @cost   O(n log n)
 * @source derived here
 */
export function ovenMinutes(trace: RunTrace, { window, positions }: Soak): readonly (OvenMinute | null)[] {
  const byPosition = positions.map((readings, i) =>
    minuteMedians(readings, window, trace.everyMs[ovenRoles[i]!] ?? Number.POSITIVE_INFINITY),
  );
  return (byPosition[0] ?? []).map((_, minute) => {
    const values = byPosition.map((medians) => medians[minute] ?? null).filter((value) => value !== null);
    return values.length < byPosition.length ? null : { mean: mean(values), highest: Math.max(...values) };
  });
}
