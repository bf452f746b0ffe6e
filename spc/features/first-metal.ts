import { type Outcome, ok, refuse } from "../model/outcome.ts";
import type { RunTrace } from "../model/run.ts";
import { medianFiltered } from "./median-filter.ts";
import { coveredReadings, spacingOf } from "./readings.ts";
import { longEnough } from "./window.ts";

/** Numbers of the first metal: seconds from pour start, and width of the running median in s. */
export const firstMetalDefaults: { readonly seconds: number; readonly filter: number } = { seconds: 2, filter: 0.3 };

/**
 * Temperature of the first metal of a pour.
 *
 * @shape   role `stream`; numbers as in `firstMetalDefaults`
 * @unit    Cel
 * @method  highest of the running median over the first seconds; its width is the odd count of readings nearest to
 *          `filter`, three at least
 * @refuses `segment-too-short` when the pour was shorter; those of `coveredReadings`; `too-few-samples` when no window
 *          of the running median is whole
 * @cost    O(n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/pour.test.ts
 */
export function firstMetal(trace: RunTrace, { seconds, filter }: typeof firstMetalDefaults): Outcome<number> {
  const every = spacingOf(trace, "stream");
  if (!every.ok) return every;
  const { startMs, endMs } = trace.run;
  const pour = longEnough({ name: "the pour", fromMs: startMs, toMs: endMs }, seconds * 1000);
  if (!pour.ok) return pour;
  const first = { name: `the first ${seconds} s`, fromMs: startMs, toMs: startMs + seconds * 1000 };
  const readings = coveredReadings(trace, "stream", first);
  if (!readings.ok) return readings;
  const width = Math.max(3, 2 * Math.round(((filter * 1000) / every.value - 1) / 2) + 1);
  const smooth = medianFiltered(readings.value, width, every.value);
  if (smooth.length === 0) {
    return refuse("too-few-samples", `no ${width} readings of stream stand together`, { needs: width });
  }
  return ok(smooth.reduce((highest, { value }) => Math.max(highest, value), Number.NEGATIVE_INFINITY));
}
