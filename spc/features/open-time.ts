import { type Outcome, ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor, RunTrace } from "../model/run.ts";
import { withoutNumbers } from "./extractor.ts";
import { toldBefore, toldValues } from "./told.ts";
import { wholeRun } from "./window.ts";

/** How far back the last word on a door is looked for: it says how the door stood when the run began. */
const lookBackMs = 7 * 86_400_000;

/**
 * How long a door stood open during a run.
 *
 * @shape   role `door`: events, 1 opens and 0 shuts; no settings
 * @unit    min
 * @method  each stretch from an opening to the next shutting, or to the end of the run; how the door stood at the start is
 *          told by the last event before the run, or, without one, follows from the first event inside
 * @refuses those of `wholeRun`; `no-reading` when no event was ever heard: then 0 would be a guess
 * @throws  RangeError for any setting
 * @cost    O(n)
 * @source  definition
 * @checked tests/unit/spc/features/told.test.ts
 */
export function openTime(id: string): (settings: Readonly<Record<string, number>>) => FeatureExtractor {
  return withoutNumbers({
    id,
    version: 1,
    unit: "min",
    roles: ["door"],
    lookBackMs: { door: lookBackMs },
    extract(trace) {
      const run = wholeRun(trace.run);
      return run.ok ? minutesOpen(trace) : run;
    },
  });
}

function minutesOpen(trace: RunTrace): Outcome<number> {
  const inside = toldValues(trace, "door");
  const events = inside.ok ? inside.value : [];
  const before = toldBefore(trace, "door").at(-1);
  const first = events[0];
  if (first === undefined && before === undefined) return refuse("no-reading", "nothing was ever heard of the door");
  let open = before === undefined ? first?.value === 0 : before.value !== 0;
  let sinceMs = trace.run.startMs;
  let openMs = 0;
  for (const { tMs, value } of [...events, { tMs: trace.run.endMs, value: 0 }]) {
    if (open) openMs += tMs - sinceMs;
    open = value !== 0;
    sinceMs = tMs;
  }
  return ok(openMs / 60_000);
}
