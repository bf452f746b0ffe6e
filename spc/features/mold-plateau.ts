import type { FeatureExtractor } from "../model/run.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { coveredReadings } from "./readings.ts";
import { steamPlateau } from "./steam-plateau.ts";
import { segmentWindow } from "./window.ts";

/**
 * `mold.plateau`: the pressure that the shot was steamed at.
 *
 * @shape   role `pressure`; segment `autoclave`; no settings
 * @unit    bar, gauge
 * @method  median of the readings above 90 % of their 98th percentile in the autoclave segment
 * @refuses those of `segmentWindow`, `coveredReadings` and `steamPlateau`
 * @throws  RangeError for any setting
 * @cost    O(n log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/mold.test.ts
 */
export function moldPlateau(settings: Readonly<Record<string, number>>): FeatureExtractor {
  featureNumbers("mold.plateau", settings, {});
  return guarded({
    id: "mold.plateau",
    version: 3,
    unit: "bar",
    roles: ["pressure"],
    plusMinus: 0.025,
    extract(trace) {
      const autoclave = segmentWindow(trace.run, "autoclave");
      if (!autoclave.ok) return autoclave;
      const readings = coveredReadings(trace, "pressure", autoclave.value);
      return readings.ok ? steamPlateau(readings.value) : readings;
    },
  });
}
