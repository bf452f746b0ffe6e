import { type Outcome, ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor, RunTrace } from "../model/run.ts";
import { mean } from "../stats/moments.ts";
import { median } from "../stats/quantile.ts";
import { withoutNumbers } from "./extractor.ts";
import { medianFiltered } from "./median-filter.ts";
import { coveredReadings, type Reading, spacingOf } from "./readings.ts";
import { lastOf, segmentWindow, type Window, wholeRun } from "./window.ts";

/** One measure of one role over one stretch of a run. */
export interface Measured {
  readonly id: string;
  readonly unit: string;
  readonly role: string;
  /** A segment, or the whole run where none is named. */
  readonly segment?: string;
  /** Only the end of it, in s. */
  readonly lastS?: number;
  /** `highest` and `lowest` are those of the running median of three readings: a single spike does not lead them. */
  readonly take: "mean" | "median" | "highest" | "lowest";
  readonly plusMinus?: number;
}

/**
 * A feature that is one measure of one role over one stretch of a run.
 *
 * @shape   one role; no settings
 * @unit    as it is told
 * @method  mean, median, highest or lowest of the readings of the stretch
 * @refuses those of `wholeRun` or `segmentWindow`, `lastOf` and `coveredReadings`; `too-few-samples` when an extreme is
 *          asked of readings of which no three stand together
 * @throws  RangeError for any setting
 * @cost    O(n log n)
 * @source  definitions; which stretch tells what: common practice, no source
 * @checked tests/unit/spc/features/measured.test.ts
 */
export function measured(what: Measured): (settings: Readonly<Record<string, number>>) => FeatureExtractor {
  const { id, unit, role, plusMinus } = what;
  return withoutNumbers({
    id,
    version: 2,
    unit,
    roles: [role],
    roleUnits: { [role]: unit },
    ...(plusMinus === undefined ? {} : { plusMinus }),
    extract(trace) {
      const stretch = stretchOf(trace, what);
      if (!stretch.ok) return stretch;
      const readings = coveredReadings(trace, role, stretch.value);
      if (!readings.ok) return readings;
      const every = spacingOf(trace, role);
      return every.ok ? taken(what, readings.value, every.value) : every;
    },
  });
}

function stretchOf(trace: RunTrace, { segment, lastS }: Measured): Outcome<Window> {
  const whole = segment === undefined ? wholeRun(trace.run) : segmentWindow(trace.run, segment);
  return whole.ok && lastS !== undefined ? lastOf(whole.value, lastS * 1000) : whole;
}

function taken({ take, role }: Measured, readings: readonly Reading[], everyMs: number): Outcome<number> {
  const values = readings.map(({ value }) => value);
  if (take === "mean") return ok(mean(values));
  if (take === "median") return ok(median(values));
  const smooth = medianFiltered(readings, 3, everyMs);
  if (smooth.length === 0) return refuse("too-few-samples", `no three readings of ${role} stand together`);
  const better = take === "highest" ? Math.max : Math.min;
  return ok(smooth.reduce((best, { value }) => better(best, value), smooth[0]!.value));
}
