import { ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { timeAbove } from "./crossing.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { coveredReadings, spacingOf } from "./readings.ts";
import { wholeRun } from "./window.ts";

/**
 * A feature that is the time a signal spent above a level: `px.cook_time`, above 90 Cel in the pre-expander.
 *
 * @shape   one role; setting `threshold`
 * @unit    s
 * @method  time strictly above the threshold over the run, straight lines between neighbours
 * @refuses those of `wholeRun`, `coveredReadings` and `timeAbove`
 * @throws  RangeError for another setting, or a threshold not above 0
 * @cost    O(n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/measured.test.ts
 */
export function timeAboveLevel(
  id: string,
  role: string,
  usual: number,
  plusMinus: number,
): (settings: Readonly<Record<string, number>>) => FeatureExtractor {
  return (settings) => {
    const { threshold } = featureNumbers(id, settings, { threshold: usual });
    return guarded({
      id,
      version: 2,
      unit: "s",
      roles: [role],
      plusMinus,
      extract(trace) {
        const run = wholeRun(trace.run);
        if (!run.ok) return run;
        const every = spacingOf(trace, role);
        if (!every.ok) return every;
        const readings = coveredReadings(trace, role, run.value);
        if (!readings.ok) return readings;
        const ms = timeAbove(readings.value, threshold, run.value, every.value);
        return ms.ok ? ok(ms.value / 1000) : ms;
      },
    });
  };
}
