import { ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { mean } from "../stats/moments.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { ovenDefaults, ovenRoles, ovenSoak } from "./oven-soak.ts";

/**
 * `oven.mean`: how warm the load soaked.
 *
 * @shape   roles `t1`, `t2`, `t3`; settings `set` in Cel (55) and `tolerance` in K (2)
 * @unit    Cel
 * @method  mean over the soak of each position, then over the positions, so that each weighs the same
 * @refuses those of `ovenSoak`
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/oven.test.ts
 */
export function ovenMean(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const numbers = featureNumbers("oven.mean", settings, ovenDefaults);
  return guarded({
    id: "oven.mean",
    version: 3,
    unit: "Cel",
    roles: ovenRoles,
    plusMinus: 0.15,
    extract(trace) {
      const soak = ovenSoak(trace, numbers);
      if (!soak.ok) return soak;
      return ok(mean(soak.value.positions.map((readings) => mean(readings.map(({ value }) => value)))));
    },
  });
}
