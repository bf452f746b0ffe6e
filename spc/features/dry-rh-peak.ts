import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { medianFiltered } from "./median-filter.ts";
import { coveredReadings, spacingOf } from "./readings.ts";
import { wholeRun } from "./window.ts";

/**
 * `dry.rh_peak`: the highest humidity of the air that left the load.
 *
 * @shape   role `return-rh`; no settings
 * @unit    %
 * @method  highest of the running median of three readings over the load: a single spike does not lead it
 * @refuses those of `wholeRun` and `coveredReadings`; `too-few-samples` when no three readings stand together
 * @throws  RangeError for any setting
 * @cost    O(n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/dry.test.ts
 */
export function dryRhPeak(settings: Readonly<Record<string, number>>): FeatureExtractor {
  featureNumbers("dry.rh_peak", settings, {});
  return guarded({
    id: "dry.rh_peak",
    version: 3,
    unit: "%",
    roles: ["return-rh"],
    plusMinus: 1.2,
    extract(trace) {
      const every = spacingOf(trace, "return-rh");
      if (!every.ok) return every;
      const load = wholeRun(trace.run);
      if (!load.ok) return load;
      const readings = coveredReadings(trace, "return-rh", load.value);
      if (!readings.ok) return readings;
      const smooth = medianFiltered(readings.value, 3, every.value);
      if (smooth.length === 0) return refuse("too-few-samples", "no three readings of return-rh stand together");
      return ok(smooth.reduce((highest, { value }) => Math.max(highest, value), Number.NEGATIVE_INFINITY));
    },
  });
}
