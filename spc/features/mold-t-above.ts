import { ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { timeAbove } from "./crossing.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { withoutSpikes } from "./median-filter.ts";
import { coveredReadings, spacingOf } from "./readings.ts";
import { segmentWindow } from "./window.ts";

/**
 * `mold.t_above`: how long the shot was hot enough to fuse.
 *
 * @shape   role `pressure`; segments `autoclave` and `vent`; setting `threshold` in bar gauge, default 0.8
 * @unit    s
 * @method  time strictly above the threshold in autoclave and in the vent that follows it, each phase by itself,
 *          single spikes taken out; a shot that stayed below has 0 s, and that is a measurement
 * @refuses those of `segmentWindow`, `coveredReadings` and `timeAbove`
 * @throws  RangeError for another setting, or a threshold not above 0
 * @cost    O(n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/mold.test.ts
 */
export function moldTAbove(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const { threshold } = featureNumbers("mold.t_above", settings, { threshold: 0.8 });
  return guarded({
    id: "mold.t_above",
    version: 3,
    unit: "s",
    roles: ["pressure"],
    plusMinus: 0.3,
    extract(trace) {
      const every = spacingOf(trace, "pressure");
      if (!every.ok) return every;
      let totalMs = 0;
      for (const name of ["autoclave", "vent"]) {
        const phase = segmentWindow(trace.run, name);
        if (!phase.ok) return phase;
        const readings = coveredReadings(trace, "pressure", phase.value);
        if (!readings.ok) return readings;
        const above = timeAbove(withoutSpikes(readings.value), threshold, phase.value, every.value);
        if (!above.ok) return above;
        totalMs += above.value;
      }
      return ok(totalMs / 1000);
    },
  });
}
