import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { withoutNumbers } from "./extractor.ts";
import { toldValues } from "./told.ts";

/**
 * Wet pick-up of a dip: how much slurry a cluster took along, drained.
 *
 * @shape   roles `wet-weight`, `bare-weight` in g, told in the run; with `perArea` also the run's `area` in dm2, told by its
 *          events; no settings
 * @unit    g, or g/dm2
 * @method  last wet minus first bare weight, over the area
 * @refuses `no-reading`; `weights-swapped` when the wet one is the lighter; `not-positive` for an area that is not above 0
 * @throws  RangeError for any setting
 * @cost    O(n)
 * @source  definition
 * @checked tests/unit/spc/features/slurry.test.ts
 */
export function wetPickUp(
  id: string,
  { perArea }: { readonly perArea: boolean },
): (settings: Readonly<Record<string, number>>) => FeatureExtractor {
  return withoutNumbers({
    id,
    version: 1,
    unit: perArea ? "g/dm2" : "g",
    roles: ["bare-weight", "wet-weight"],
    roleUnits: { "bare-weight": "g", "wet-weight": "g" },
    extract(trace) {
      const bare = toldValues(trace, "bare-weight");
      if (!bare.ok) return bare;
      const wet = toldValues(trace, "wet-weight");
      if (!wet.ok) return wet;
      const grams = wet.value.at(-1)!.value - bare.value[0]!.value;
      if (grams < 0) return refuse("weights-swapped", "the wet cluster weighs less than the bare one");
      if (!perArea) return ok(grams);
      const area = Number(trace.run.context["area"] ?? "");
      return area > 0 && Number.isFinite(area) ? ok(grams / area) : refuse("not-positive", "an area is above 0 dm2");
    },
  });
}
