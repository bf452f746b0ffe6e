import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { withoutNumbers } from "./extractor.ts";
import { toldValues } from "./told.ts";

/**
 * Share of what was inspected that was found defective, or had one defect.
 *
 * @shape   roles: a count and `inspected`, told in the run; no settings
 * @unit    %
 * @method  100 times the last count over the last number inspected; the chart of counts needs both, this only shows them
 * @refuses `no-reading`; `not-positive` when nothing was inspected; `count-out-of-range` for a count below 0 or above all
 * @throws  RangeError for any setting
 * @cost    O(n)
 * @source  definition
 * @checked tests/unit/spc/features/told.test.ts
 */
export function shareOf(id: string, role: string): (settings: Readonly<Record<string, number>>) => FeatureExtractor {
  return withoutNumbers({
    id,
    version: 1,
    unit: "%",
    roles: [role, "inspected"],
    roleUnits: { [role]: "1", inspected: "1" },
    extract(trace) {
      const found = toldValues(trace, role);
      if (!found.ok) return found;
      const all = toldValues(trace, "inspected");
      if (!all.ok) return all;
      const [part, whole] = [found.value.at(-1)!.value, all.value.at(-1)!.value];
      if (!(whole > 0)) return refuse("not-positive", "nothing was inspected");
      if (part < 0 || part > whole) {
        return refuse("count-out-of-range", `${part} of ${whole} inspected is no count`, { needs: whole, has: part });
      }
      return ok((100 * part) / whole);
    },
  });
}
