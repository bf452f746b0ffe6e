import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { minuteMedians, ovenDefaults, ovenRoles, ovenSoak } from "./oven-soak.ts";
import { spacingOf } from "./readings.ts";

/**
 * `oven.max`: how hot the hottest position became.
 *
 * @shape   roles `t1`, `t2`, `t3`; settings `set` in Cel (55) and `tolerance` in K (2)
 * @unit    Cel
 * @method  highest median of a whole minute of the soak, over all positions: a spike of less than half a minute does
 *          not lead it, and a runaway of 2 K/min shows within 1 K
 * @refuses those of `ovenSoak`
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/oven.test.ts
 */
export function ovenMax(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const numbers = featureNumbers("oven.max", settings, ovenDefaults);
  return guarded({
    id: "oven.max",
    version: 3,
    unit: "Cel",
    roles: ovenRoles,
    plusMinus: 0.8,
    extract(trace) {
      const soak = ovenSoak(trace, numbers);
      if (!soak.ok) return soak;
      let highest: number | null = null;
      for (const [i, readings] of soak.value.positions.entries()) {
        const every = spacingOf(trace, ovenRoles[i]!);
        if (!every.ok) return every;
        for (const value of minuteMedians(readings, soak.value.window, every.value)) {
          if (value !== null && (highest === null || value > highest)) highest = value;
        }
      }
      return highest === null ? refuse("coverage-too-low", "no minute of the soak has readings enough") : ok(highest);
    },
  });
}
