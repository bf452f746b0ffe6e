import { ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { median } from "../stats/quantile.ts";
import { blocksOf } from "./blocks.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { coveredReadings } from "./readings.ts";
import { wholeRun } from "./window.ts";

/**
 * `mold.hdr_min`: the least pressure of the steam header during the shot: all presses low at once is the boiler.
 *
 * @shape   role `header`; no settings
 * @unit    bar, gauge
 * @method  least of the medians of each second of the shot
 * @refuses those of `wholeRun` and `coveredReadings`
 * @throws  RangeError for any setting
 * @cost    O(n log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/mold-more.test.ts
 */
export function moldHdrMin(settings: Readonly<Record<string, number>>): FeatureExtractor {
  featureNumbers("mold.hdr_min", settings, {});
  return guarded({
    id: "mold.hdr_min",
    version: 2,
    unit: "bar",
    roles: ["header"],
    plusMinus: 0.12,
    extract(trace) {
      const shot = wholeRun(trace.run);
      if (!shot.ok) return shot;
      const readings = coveredReadings(trace, "header", shot.value);
      if (!readings.ok) return readings;
      const seconds = blocksOf(readings.value, shot.value, 1000).filter((block) => block.length > 0);
      const medians = (seconds.length === 0 ? [readings.value] : seconds).map((block) =>
        median(block.map(({ value }) => value)),
      );
      return ok(medians.reduce((least, value) => Math.min(least, value), Number.POSITIVE_INFINITY));
    },
  });
}
