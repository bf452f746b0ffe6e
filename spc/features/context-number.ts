import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { withoutNumbers } from "./extractor.ts";
import { wholeRun } from "./window.ts";

/**
 * A feature that the run's own events tell as a number: hours since the dryer, minutes since the pour.
 *
 * @shape   key: name in the run's context; no roles; no settings
 * @unit    as it is told
 * @method  the number as it stands: digits with a decimal point
 * @refuses `no-reading` when it was not told, or is no number
 * @throws  RangeError for any setting
 * @cost    O(1)
 * @source  definition
 * @checked tests/unit/spc/features/told.test.ts
 */
export function contextNumber(
  id: string,
  unit: string,
  key: string,
): (settings: Readonly<Record<string, number>>) => FeatureExtractor {
  return withoutNumbers({
    id,
    version: 1,
    unit,
    roles: [],
    extract({ run }) {
      const number = toldNumber(Object.hasOwn(run.context, key) ? run.context[key]! : "");
      if (!Number.isNaN(number)) return ok(number);
      return refuse("no-reading", `the run's events did not tell ${key} as a number`);
    },
  });
}

/**
 * A feature that is an age at the run's end, from a time that its events told.
 *
 * @shape   key: name in the run's context, an ISO time with an offset; no roles; no settings
 * @unit    h
 * @method  end of the run minus that time
 * @refuses those of `wholeRun`; `no-reading` when it was not told, or is no time; `time-out-of-range` when it lies after the
 *          run's end
 * @throws  RangeError for any setting
 * @cost    O(1)
 * @source  definition
 * @checked tests/unit/spc/features/told.test.ts
 */
export function contextAge(id: string, key: string): (settings: Readonly<Record<string, number>>) => FeatureExtractor {
  return withoutNumbers({
    id,
    version: 2,
    unit: "h",
    roles: [],
    extract({ run }) {
      const whole = wholeRun(run);
      if (!whole.ok) return whole;
      const sinceMs = toldInstant(Object.hasOwn(run.context, key) ? run.context[key]! : "");
      if (!Number.isFinite(sinceMs)) return refuse("no-reading", `the run's events did not tell ${key} as a time`);
      if (sinceMs > run.endMs) return refuse("time-out-of-range", `${key} lies after the end of the run`);
      return ok((run.endMs - sinceMs) / 3_600_000);
    },
  });
}

/**
 * A number as events tell it; NaN for anything else, for `Number` alone makes 0 of nothing.
 *
 * @shape  text: digits with a decimal point
 * @unit   as it is told
 * @source definition
 */
export function toldNumber(text: string): number {
  return /^-?\d+(\.\d+)?$/u.test(text) ? Number(text) : Number.NaN;
}

/**
 * An instant as events tell it; NaN for anything else, for `Date.parse` alone makes a date of "1,5".
 *
 * @shape  text: ISO 8601 to the minute or finer, with an offset or Z
 * @unit   ms since the epoch
 * @source ISO 8601
 */
export function toldInstant(text: string): number {
  return /^\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d+)?)?(Z|[+-]\d\d:\d\d)$/u.test(text) ? Date.parse(text) : Number.NaN;
}
