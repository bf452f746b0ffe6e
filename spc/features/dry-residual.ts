import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { median } from "../stats/quantile.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { coveredReadings } from "./readings.ts";
import { newestTold } from "./told.ts";
import { lastOf, wholeRun } from "./window.ts";

/** A dry weight that is too heavy by so many per cent was not weighed dry, or the cell has lost its zero. */
const leastPercent = -0.2;

/**
 * `dry.residual`: water left in the coats at release, by the witness on its load cell: the only true sign of dryness.
 *
 * @shape   roles `witness` in kg, scaled to the load, and `dry-coat`, its dry weight in kg, told once a load; setting
 *          `minutes` before release (10)
 * @unit    % of the dry coat
 * @method  100 (median of the witness - dry) / dry
 * @refuses those of `wholeRun`, `lastOf`, `coveredReadings`; `no-reading` without a dry weight; `not-positive` for one that
 *          is not above 0; `weights-swapped` where the witness is lighter than dry by more than 0.2 %
 * @throws  RangeError for another setting, or minutes not above 0
 * @cost    O(n)
 * @source  definition
 * @checked tests/unit/spc/features/dry-more.test.ts
 */
export function dryResidual(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const { minutes } = featureNumbers("dry.residual", settings, { minutes: 10 });
  return guarded({
    id: "dry.residual",
    version: 2,
    unit: "%",
    roles: ["witness", "dry-coat"],
    roleUnits: { witness: "kg", "dry-coat": "kg" },
    plusMinus: 0.1,
    extract(trace) {
      const load = wholeRun(trace.run);
      if (!load.ok) return load;
      const end = lastOf(load.value, minutes * 60_000);
      if (!end.ok) return end;
      const witness = coveredReadings(trace, "witness", end.value);
      if (!witness.ok) return witness;
      const dry = newestTold(trace, "dry-coat");
      if (!dry.ok) return dry;
      const kg = dry.value.value;
      if (!(kg > 0)) return refuse("not-positive", "a dry coat must weigh more than 0 kg");
      const percent = (100 * (median(witness.value.map(({ value }) => value)) - kg)) / kg;
      if (percent >= leastPercent) return ok(percent);
      return refuse("weights-swapped", "the witness weighs less than its dry coat", {
        needs: leastPercent,
        has: percent,
      });
    },
  });
}
