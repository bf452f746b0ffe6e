import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor, RunTrace } from "../model/run.ts";
import { withoutNumbers } from "./extractor.ts";
import { goodOf, type Reading } from "./readings.ts";

/**
 * A feature that is the time from the run's beginning to the first of an event in it: `silo.age`, from fill to first draw.
 *
 * @shape   role: events, 1 begins; no settings
 * @unit    h
 * @method  first event of value 1 in the run minus the run's start
 * @refuses `no-reading` when there is none
 * @throws  RangeError for any setting
 * @cost    O(n)
 * @source  definition
 * @checked tests/unit/spc/features/told.test.ts
 */
export function untilFirst(id: string, role: string): (settings: Readonly<Record<string, number>>) => FeatureExtractor {
  return withoutNumbers({
    id,
    version: 1,
    unit: "h",
    roles: [role],
    extract(trace) {
      const first = eventsOf(trace, role).find(({ value }) => value === 1);
      if (first === undefined) return refuse("no-reading", `no event of ${role} was heard in the run`);
      return ok((first.tMs - trace.run.startMs) / 3_600_000);
    },
  });
}

/**
 * A feature that is how long an event's state lasted: `cool.hold`, the vacuum hold of a flask.
 *
 * @shape   role: events, 1 begins and 0 ends; where key is told by the run and by an event, only events of the same count
 * @unit    min
 * @method  last end minus first beginning before it
 * @refuses `no-reading` when either was not heard
 * @throws  RangeError for any setting
 * @cost    O(n)
 * @source  definition
 * @checked tests/unit/spc/features/told.test.ts
 */
export function eventLasted(
  id: string,
  role: string,
  key: string,
): (settings: Readonly<Record<string, number>>) => FeatureExtractor {
  return withoutNumbers({
    id,
    version: 1,
    unit: "min",
    roles: [role],
    extract(trace) {
      const events = eventsOf(trace, role, key);
      const from = events.find(({ value }) => value === 1);
      const to = events.findLast(({ value }) => value === 0);
      if (from === undefined || to === undefined || to.tMs < from.tMs) {
        return refuse("no-reading", `beginning or end of ${role} was not heard in the run`);
      }
      return ok((to.tMs - from.tMs) / 60_000);
    },
  });
}

function eventsOf({ run, samples }: RunTrace, role: string, key?: string): readonly Reading[] {
  const all = Object.hasOwn(samples, role) ? (samples[role] ?? []) : [];
  const mine = all.filter(({ attributes }) => {
    const [said, own] = key === undefined ? [undefined, undefined] : [attributes?.[key], run.context[key]];
    return said === undefined || own === undefined || said === own;
  });
  return goodOf(mine).filter(({ tMs }) => run.startMs <= tMs && tMs < run.endMs);
}
