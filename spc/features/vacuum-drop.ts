import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { quantile } from "../stats/quantile.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { medianFiltered } from "./median-filter.ts";
import { coveredReadings, spacingOf } from "./readings.ts";
import { wholeRun } from "./window.ts";

/**
 * `pour.vacuum_drop`: how deep the flask's vacuum dipped while metal flowed; a deep dip lets a wall fall.
 *
 * @shape   role `vacuum` in kPa below ambient; no settings
 * @unit    kPa
 * @method  95th percentile minus the lowest of the running median of three
 * @refuses those of `wholeRun`, `coveredReadings`; `too-few-samples` when no three readings stand together
 * @throws  RangeError for any setting
 * @cost    O(n log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/pour-more.test.ts
 */
export function vacuumDrop(settings: Readonly<Record<string, number>>): FeatureExtractor {
  featureNumbers("pour.vacuum_drop", settings, {});
  return guarded({
    id: "pour.vacuum_drop",
    version: 2,
    unit: "kPa",
    roles: ["vacuum"],
    roleUnits: { vacuum: "kPa" },
    plusMinus: 5,
    extract(trace) {
      const pour = wholeRun(trace.run);
      if (!pour.ok) return pour;
      const readings = coveredReadings(trace, "vacuum", pour.value);
      if (!readings.ok) return readings;
      const every = spacingOf(trace, "vacuum");
      if (!every.ok) return every;
      const smooth = medianFiltered(readings.value, 3, every.value).map(({ value }) => value);
      if (smooth.length === 0) return refuse("too-few-samples", "no three readings of vacuum stand together");
      return ok(quantile(smooth, 0.95) - smooth.reduce((least, value) => Math.min(least, value), smooth[0]!));
    },
  });
}
