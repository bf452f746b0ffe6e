import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { finalSeconds, rootMeanSquare, vibrationDefaults } from "./final-seconds.ts";

/**
 * `vib.crest`, `vib.wall.crest`: how far the peaks stand above the RMS, which knocks raise while the RMS stays. A loose clamp
 * knocks on table and flask wall, a loose sensor on its own channel alone.
 *
 * @shape   axis: roles `AXIS.peak` and `AXIS.rms`; segment `final`; setting `seconds`, default 15
 * @unit    1; the square root of 2 for a sine
 * @method  largest of the blocks' peaks, each a 99.9th percentile already and so no single sample, over the root mean
 *          square of the same blocks
 * @refuses those of `finalSeconds`; `no-vibration` when the root mean square is 0
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n)
 * @source  crest factor: peak over RMS, definition; the choice of peak is our own
 * @checked tests/unit/spc/features/vib.test.ts
 */
export function vibCrest(id: string, axis: string): (settings: Readonly<Record<string, number>>) => FeatureExtractor {
  return (settings) => {
    const { seconds } = featureNumbers(id, settings, vibrationDefaults);
    return guarded({
      id,
      version: 3,
      unit: "1",
      roles: [`${axis}.peak`, `${axis}.rms`],
      plusMinus: 0.12,
      extract(trace) {
        const peaks = finalSeconds(trace, `${axis}.peak`, seconds);
        if (!peaks.ok) return peaks;
        const rms = finalSeconds(trace, `${axis}.rms`, seconds);
        if (!rms.ok) return rms;
        const level = rootMeanSquare(rms.value);
        if (!(level > 0)) return refuse("no-vibration", "the table did not shake at the end of final");
        return ok(Math.max(...peaks.value) / level);
      },
    });
  };
}
