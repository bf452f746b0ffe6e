import { type Outcome, ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor, RunTrace } from "../model/run.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { coveredReadings, type Reading, spacingOf } from "./readings.ts";
import { segmentWindow, type Window } from "./window.ts";

/** Phases in which steam stands in the chamber; the vent's beginning belongs to them. */
export const steamedPhases: readonly string[] = ["cross-steam-a", "cross-steam-b", "autoclave", "vent"];

/**
 * `mold.int`: how much steam the shot had, pressure and time in one.
 *
 * @shape   role `pressure`; segments `cross-steam-a`, `cross-steam-b`, `autoclave`, `vent`; setting `threshold` in bar
 *          gauge, default 0.3
 * @unit    bar.s
 * @method  integral of what the pressure lies above the threshold, straight lines between neighbours, each phase by itself:
 *          its first and last readings hold to its ends
 * @refuses those of `segmentWindow` and `coveredReadings`
 * @throws  RangeError for another setting, or a threshold not above 0
 * @cost    O(n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/mold-more.test.ts
 */
export function moldInt(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const { threshold } = featureNumbers("mold.int", settings, { threshold: 0.3 });
  return guarded({
    id: "mold.int",
    version: 2,
    unit: "bar.s",
    roles: ["pressure"],
    plusMinus: 0.12,
    extract: (trace) => summed(trace, (readings, phase) => ok(areaAbove(readings, phase, threshold))),
  });
}

/**
 * Sum of one number of each phase in which steam stands in the chamber.
 *
 * @shape   role `pressure`; of: the readings of a phase and the phase
 * @unit    that of `of`
 * @refuses those of `segmentWindow`, `coveredReadings` and `of`
 * @source  derived here
 */
export function summed(
  trace: RunTrace,
  of: (readings: readonly Reading[], phase: Window, everyMs: number) => Outcome<number>,
  phases: readonly string[] = steamedPhases,
): Outcome<number> {
  const every = spacingOf(trace, "pressure");
  if (!every.ok) return every;
  let total = 0;
  for (const name of phases) {
    const phase = segmentWindow(trace.run, name);
    if (!phase.ok) return phase;
    const readings = coveredReadings(trace, "pressure", phase.value);
    if (!readings.ok) return readings;
    const part = of(readings.value, phase.value, every.value);
    if (!part.ok) return part;
    total += part.value;
  }
  return Number.isFinite(total) ? ok(total) : refuse("not-finite", "the readings of this run cannot be added up");
}

/**
 * Area of a signal above a level, in the unit of the signal times seconds.
 *
 * @shape  one or more readings of one phase, in time order
 * @unit   that of the readings times s
 * @method straight lines between neighbours, cut at the level
 * @cost   O(n)
 * @source derived here
 */
export function areaAbove(readings: readonly Reading[], phase: Pick<Window, "fromMs" | "toMs">, level: number): number {
  const [first, last] = [readings[0], readings.at(-1)];
  if (first === undefined || last === undefined) return 0;
  const held = [{ ...first, tMs: phase.fromMs }, ...readings, { ...last, tMs: phase.toMs }];
  let area = 0;
  for (const [i, to] of held.entries()) {
    const from = held[i - 1];
    if (from === undefined) continue;
    const [a, b, seconds] = [from.value - level, to.value - level, (to.tMs - from.tMs) / 1000];
    if (a >= 0 && b >= 0) area += ((a + b) / 2) * seconds;
    else if (a > 0 || b > 0) area += ((Math.max(a, b) * Math.max(a, b)) / Math.abs(a - b) / 2) * seconds;
  }
  return area;
}
