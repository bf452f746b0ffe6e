import { type Outcome, ok } from "../model/outcome.ts";
import type { RunTrace } from "../model/run.ts";
import { coveredReadings, spacingOf } from "./readings.ts";
import { longEnough, segmentWindow } from "./window.ts";

/** Numbers of the vibration features: how many seconds of the final stage they rest on. */
export const vibrationDefaults: { readonly seconds: number } = { seconds: 15 };

/**
 * One measure of the last seconds of vibration before the table stopped: one value a block.
 *
 * @shape   role: a reduced series such as `vibration-z.rms`, each value stamped with the start of its block
 * @unit    that of the series
 * @method  the last blocks that lie whole within the `final` segment, so the run-down stays out
 * @refuses `segment-too-short` when so many blocks do not fit in; those of `segmentWindow` and `coveredReadings`
 * @cost    O(n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/vib.test.ts
 */
export function finalSeconds(trace: RunTrace, role: string, seconds: number): Outcome<readonly number[]> {
  const every = spacingOf(trace, role);
  if (!every.ok) return every;
  const final = segmentWindow(trace.run, "final");
  if (!final.ok) return final;
  const long = longEnough(final.value, seconds * 1000 + every.value);
  if (!long.ok) return long;
  // The last block may start exactly one spacing before the end: hence the millisecond on a half-open window.
  const toMs = final.value.toMs - every.value + 1;
  const window = { name: `the last ${seconds} s of final`, fromMs: toMs - seconds * 1000, toMs };
  const readings = coveredReadings(trace, role, window, { spikes: "kept" });
  return readings.ok ? ok(readings.value.map(({ value }) => value)) : readings;
}

/**
 * Root mean square over blocks, from the root mean square of each.
 *
 * @shape  one or more values
 * @unit   that of the values
 * @source definition
 */
export function rootMeanSquare(values: readonly number[]): number {
  return Math.sqrt(values.reduce((total, value) => total + value * value, 0) / values.length);
}
