import { ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { mean } from "../stats/moments.ts";
import { dipPlateau } from "./dip-plateau.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { coveredReadings } from "./readings.ts";
import { wholeRun } from "./window.ts";

/**
 * `furnace.minus_dip`: the thermocouple in the furnace against a fresh tip in the same bath; which of the two is off needs a
 * third.
 *
 * @shape   a run of one dip check: roles `metal-t` and `dip`; no settings
 * @unit    K
 * @method  mean of the thermocouple over the run minus the dip's plateau
 * @refuses those of `wholeRun`, `coveredReadings`, `dipPlateau`
 * @throws  RangeError for any setting
 * @cost    O(n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/ladle.test.ts
 */
export function furnaceMinusDip(settings: Readonly<Record<string, number>>): FeatureExtractor {
  featureNumbers("furnace.minus_dip", settings, {});
  return guarded({
    id: "furnace.minus_dip",
    version: 2,
    unit: "K",
    roles: ["metal-t", "dip"],
    plusMinus: 4,
    extract(trace) {
      const check = wholeRun(trace.run);
      if (!check.ok) return check;
      const metal = coveredReadings(trace, "metal-t", check.value);
      if (!metal.ok) return metal;
      const dip = dipPlateau(trace);
      return dip.ok ? ok(mean(metal.value.map(({ value }) => value)) - dip.value.value) : dip;
    },
  });
}
