import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { finalSeconds, rootMeanSquare, vibrationDefaults } from "./final-seconds.ts";

/**
 * `vib.alone`: how much the table's sensor knocks that the flask's wall does not. A loose clamp knocks on both, on the wall
 * somewhat less; a loose sensor on its own channel alone.
 *
 * @shape   roles `vibration-z.peak`, `vibration-z.rms`, `wall-z.peak`, `wall-z.rms`; segment `final`; settings `seconds`
 *          (15) and `times` (1.3): what the wall shows counts so often
 * @unit    1: of crest factors
 * @method  crest of the table less `times` the crest of the wall, as in `vib.crest`. Whatever reaches the wall by more than
 *          1 / `times` moves it down, whatever the size; only what the wall does not have moves it up
 * @refuses those of `finalSeconds`; `no-vibration` when a root mean square is 0
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n)
 * @source  definition; three quarters of a knock reaching the wall: common practice, no source
 * @checked tests/unit/spc/features/vib-faults.test.ts
 */
export function vibAlone(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const { seconds, times } = featureNumbers("vib.alone", settings, { ...vibrationDefaults, times: 1.3 });
  return guarded({
    id: "vib.alone",
    version: 1,
    unit: "1",
    roles: ["vibration-z.peak", "vibration-z.rms", "wall-z.peak", "wall-z.rms"],
    plusMinus: 0.3,
    extract(trace) {
      const crests: number[] = [];
      for (const axis of ["vibration-z", "wall-z"]) {
        const peaks = finalSeconds(trace, `${axis}.peak`, seconds);
        if (!peaks.ok) return peaks;
        const rms = finalSeconds(trace, `${axis}.rms`, seconds);
        if (!rms.ok) return rms;
        const level = rootMeanSquare(rms.value);
        if (!(level > 0)) return refuse("no-vibration", "table or flask did not shake at the end of final");
        crests.push(Math.max(...peaks.value) / level);
      }
      const [table = 0, wall = 0] = crests;
      return ok(table - times * wall);
    },
  });
}
