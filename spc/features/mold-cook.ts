import { ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { timeAbove } from "./crossing.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { withoutSpikes } from "./median-filter.ts";
import { summed } from "./mold-int.ts";

/**
 * `mold.cook`: how long steam was on the beads, all steps together.
 *
 * @shape   role `pressure`; segments `cross-steam-a`, `cross-steam-b`, `autoclave`, `vent`; setting `threshold` in bar
 *          gauge, default 0.25: half-way up the first cross-steam step
 * @unit    s
 * @method  time strictly above the threshold, each phase by itself, single spikes taken out
 * @refuses those of `segmentWindow`, `coveredReadings` and `timeAbove`
 * @throws  RangeError for another setting, or a threshold not above 0
 * @cost    O(n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/mold-more.test.ts
 */
export function moldCook(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const { threshold } = featureNumbers("mold.cook", settings, { threshold: 0.25 });
  return guarded({
    id: "mold.cook",
    version: 2,
    unit: "s",
    roles: ["pressure"],
    plusMinus: 0.25,
    extract(trace) {
      const ms = summed(trace, (readings, phase, everyMs) =>
        timeAbove(withoutSpikes(readings), threshold, phase, everyMs),
      );
      return ms.ok ? ok(ms.value / 1000) : ms;
    },
  });
}
