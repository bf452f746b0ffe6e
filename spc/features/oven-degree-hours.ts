import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { ovenMinutes } from "./oven-minutes.ts";
import { ovenDefaults, ovenRoles, ovenSoak } from "./oven-soak.ts";
import { leastCoverage } from "./readings.ts";

/**
 * `oven.degree_hours`: how much, and how long, the hottest position was too hot for foam.
 *
 * @shape   roles `t1`, `t2`, `t3`; settings `set` in Cel (55), `tolerance` in K (2), `above` in Cel (60)
 * @unit    K.h
 * @method  sum over the soak's whole minutes of what the hottest position's median lies above; minutes that lack a position
 *          are made up for by their share
 * @refuses those of `ovenSoak`; `coverage-too-low` when more than a tenth of the minutes lack a position
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/oven.test.ts
 */
export function ovenDegreeHours(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const numbers = featureNumbers("oven.degree_hours", settings, { ...ovenDefaults, above: 60 });
  return guarded({
    id: "oven.degree_hours",
    version: 2,
    unit: "K.h",
    roles: ovenRoles,
    plusMinus: 0.2,
    extract(trace) {
      const soak = ovenSoak(trace, numbers);
      if (!soak.ok) return soak;
      const minutes = ovenMinutes(trace, soak.value);
      const known = minutes.filter((minute) => minute !== null);
      if (known.length < leastCoverage * minutes.length || known.length === 0) {
        return refuse("coverage-too-low", "too many minutes of the soak lack a position");
      }
      const total = known.reduce((sum, { highest }) => sum + Math.max(0, highest - numbers.above), 0);
      return ok((total / known.length) * (minutes.length / 60));
    },
  });
}
