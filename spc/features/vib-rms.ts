import { ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { finalSeconds, rootMeanSquare, vibrationDefaults } from "./final-seconds.ts";

/**
 * `vib.rms`: how hard the table shook at the end of compaction, on the vertical axis.
 *
 * @shape   role `vibration-z.rms`; segment `final`; setting `seconds`, default 15
 * @unit    [g], RMS
 * @method  root mean square over the last whole blocks
 * @refuses those of `finalSeconds`
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n)
 * @source  definition; window common practice, no source
 * @checked tests/unit/spc/features/vib.test.ts
 */
export function vibRms(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const { seconds } = featureNumbers("vib.rms", settings, vibrationDefaults);
  return guarded({
    id: "vib.rms",
    version: 1,
    unit: "[g]",
    roles: ["vibration-z.rms"],
    extract(trace) {
      const rms = finalSeconds(trace, "vibration-z.rms", seconds);
      return rms.ok ? ok(rootMeanSquare(rms.value)) : rms;
    },
  });
}
