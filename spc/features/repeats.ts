import { ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { withoutNumbers } from "./extractor.ts";
import { toldBefore, toldValues } from "./told.ts";

/** Readings older than this are of another week. Common practice, no source. */
const lookBackMs = 7 * 86_400_000;

/**
 * `repeats`, `repeats.ROLE`: how many readings in a row were equal, the newest included; a stuck instrument, a sticky scale, or a
 * value that was copied repeats more often than chance does.
 *
 * @shape   one role of single values, by hand or by dip; the run's own and those of the week before; no settings
 * @unit    1: 1 where the newest differs from the one before it
 * @method  count of equal values back from the newest
 * @refuses `no-reading` when the run has none of its own
 * @throws  RangeError for any setting
 * @cost    O(n)
 * @source  common practice, no source: four in a row by chance is rare where neighbours are equal in 5 to 16 % of cases
 * @checked tests/unit/spc/features/told.test.ts
 */
export function repeatsOf(id: string, role: string): (settings: Readonly<Record<string, number>>) => FeatureExtractor {
  return withoutNumbers({
    id,
    version: 1,
    unit: "1",
    roles: [role],
    lookBackMs: { [role]: lookBackMs },
    extract(trace) {
      const inside = toldValues(trace, role);
      if (!inside.ok) return inside;
      const all = [...toldBefore(trace, role), ...inside.value];
      const differs = all.findLastIndex(({ value }) => value !== all.at(-1)!.value);
      return ok(all.length - 1 - differs);
    },
  });
}
