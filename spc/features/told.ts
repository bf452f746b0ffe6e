import { type Outcome, ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor, RunTrace } from "../model/run.ts";
import type { Sample } from "../model/sample.ts";
import { mean } from "../stats/moments.ts";
import { withoutNumbers } from "./extractor.ts";
import { goodOf, type Reading } from "./readings.ts";
import { wholeRun } from "./window.ts";

/** What was weighed, dipped, counted or typed in during a run: single values without a spacing. */
export interface Told {
  readonly id: string;
  readonly unit: string;
  readonly role: string;
  readonly take: "first" | "last" | "mean" | "range";
}

/**
 * A feature that is what people, scales and laboratories told of a run.
 *
 * @shape   one role of single values; no settings
 * @unit    as it is told
 * @method  the first, the last, the mean or the range (of two or more) of the good values stamped inside the run
 * @refuses `no-reading` when none was taken, or none is good: a missing value is never 0; `too-few` for a range of one;
 *          those of `wholeRun` for the last and the range, of which the rest of the run may have told more
 * @throws  RangeError for any setting
 * @cost    O(n)
 * @source  definitions
 * @checked tests/unit/spc/features/told.test.ts
 */
export function told(what: Told): (settings: Readonly<Record<string, number>>) => FeatureExtractor {
  const { id, unit, role, take } = what;
  const needsEnd = take === "last" || take === "range";
  return withoutNumbers({
    id,
    version: needsEnd ? 2 : 1,
    unit,
    roles: [role],
    roleUnits: { [role]: unit },
    extract(trace) {
      const values = toldValues(trace, role);
      if (!values.ok) return values;
      const whole = wholeRun(trace.run);
      if (needsEnd && !whole.ok) return whole;
      if (take === "first") return ok(values.value[0]!.value);
      if (take === "last") return ok(values.value.at(-1)!.value);
      const all = values.value.map(({ value }) => value);
      if (take === "mean") return ok(mean(all));
      if (all.length < 2) return refuse("too-few", `a range of ${role} needs 2 values, got 1`, { needs: 2, has: 1 });
      return ok(Math.max(...all) - Math.min(...all));
    },
  });
}

/**
 * Good single values of a role inside a run.
 *
 * @shape   values in time order; of two at one time the first counts
 * @unit    that of the role's series
 * @refuses `no-reading` when there is none
 * @source  derived here
 * @checked tests/unit/spc/features/told.test.ts
 */
export function toldValues(trace: RunTrace, role: string): Outcome<readonly Reading[]> {
  const { startMs, endMs } = trace.run;
  const values = goodOf(samplesOf(trace.samples, role)).filter(({ tMs }) => startMs <= tMs && tMs < endMs);
  return values.length > 0 ? ok(values) : refuse("no-reading", `no good value of ${role} was taken in the run`);
}

/**
 * Newest good single value of a role, inside a run or before it as far back as the trace reaches.
 *
 * @shape   values in time order
 * @unit    that of the role's series
 * @refuses `no-reading` when there is none
 * @source  derived here
 * @checked tests/unit/spc/features/told.test.ts
 */
export function newestTold(trace: RunTrace, role: string): Outcome<Reading> {
  const inside = toldValues(trace, role);
  if (inside.ok) return ok(inside.value.at(-1)!);
  const before = toldBefore(trace, role).at(-1);
  return before === undefined ? refuse("no-reading", `no good value of ${role} was taken in time`) : ok(before);
}

/**
 * Good single values of a role before a run, as far back as the trace reaches.
 *
 * @shape  values in time order
 * @unit   that of the role's series
 * @source derived here
 */
export function toldBefore(trace: RunTrace, role: string): readonly Reading[] {
  return goodOf(samplesOf(trace.before ?? {}, role)).filter(({ tMs }) => tMs < trace.run.startMs);
}

function samplesOf(of: Readonly<Record<string, readonly Sample[]>>, role: string): readonly Sample[] {
  return Object.hasOwn(of, role) ? (of[role] ?? []) : [];
}
