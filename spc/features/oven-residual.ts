import { ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { mean } from "../stats/moments.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { ovenDefaults, ovenRoles, ovenSoak } from "./oven-soak.ts";

/**
 * `oven.residual.N`: position N against the others; a thermocouple that drifts leaves them, while the range of all hardly
 * tells it from an uneven oven.
 *
 * @shape   roles `t1`, `t2`, `t3`; settings `set` in Cel (55) and `tolerance` in K (2); position 1 to 3
 * @unit    K
 * @method  mean over the soak of position N minus the mean of the others' means
 * @refuses those of `ovenSoak`
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/oven.test.ts
 */
export function ovenResidual(position: number): (settings: Readonly<Record<string, number>>) => FeatureExtractor {
  const id = `oven.residual.${position}`;
  return (settings) => {
    const numbers = featureNumbers(id, settings, ovenDefaults);
    return guarded({
      id,
      version: 2,
      unit: "K",
      roles: ovenRoles,
      plusMinus: 0.25,
      extract(trace) {
        const soak = ovenSoak(trace, numbers);
        if (!soak.ok) return soak;
        const means = soak.value.positions.map((readings) => mean(readings.map(({ value }) => value)));
        return ok(means[position - 1]! - mean(means.filter((_, i) => i !== position - 1)));
      },
    });
  };
}
