import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { ovenMinutes } from "./oven-minutes.ts";
import { ovenDefaults, ovenRoles, ovenSoak } from "./oven-soak.ts";
import { leastCoverage } from "./readings.ts";

/**
 * `oven.soak_time`: how long the load soaked near the set temperature.
 *
 * @shape   roles `t1`, `t2`, `t3`; settings `set` in Cel (55) and `tolerance` in K (2)
 * @unit    h
 * @method  whole minutes of the soak whose mean of the positions' medians lies within the tolerance; minutes that lack a
 *          position are left out, and made up for by their share
 * @refuses those of `ovenSoak`; `coverage-too-low` when more than a tenth of the minutes lack one
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/oven.test.ts
 */
export function ovenSoakTime(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const numbers = featureNumbers("oven.soak_time", settings, ovenDefaults);
  return guarded({
    id: "oven.soak_time",
    version: 2,
    unit: "h",
    roles: ovenRoles,
    plusMinus: 0.1,
    extract(trace) {
      const soak = ovenSoak(trace, numbers);
      if (!soak.ok) return soak;
      const minutes = ovenMinutes(trace, soak.value);
      const known = minutes.filter((minute) => minute !== null);
      if (known.length < leastCoverage * minutes.length || known.length === 0) {
        return refuse("coverage-too-low", "too many minutes of the soak lack a position");
      }
      const near = known.filter(({ mean }) => Math.abs(mean - numbers.set) <= numbers.tolerance).length;
      return ok((near / known.length) * (minutes.length / 60));
    },
  });
}
