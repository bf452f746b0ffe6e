import { ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { finalSeconds, rootMeanSquare, vibrationDefaults } from "./final-seconds.ts";

/**
 * `vib.hf`: how much rattles far above the drive, which bearings and loose clamps raise while the RMS stays.
 *
 * @shape   role `vibration-z.hf`; segment `final`; setting `seconds`, default 15
 * @unit    [g], RMS from 200 to 1000 Hz
 * @method  root mean square over the last whole blocks
 * @refuses those of `finalSeconds`
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n)
 * @source  definition; band and window common practice, no source
 * @checked tests/unit/spc/features/vib.test.ts
 */
export function vibHf(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const { seconds } = featureNumbers("vib.hf", settings, vibrationDefaults);
  return guarded({
    id: "vib.hf",
    version: 1,
    unit: "[g]",
    roles: ["vibration-z.hf"],
    extract(trace) {
      const high = finalSeconds(trace, "vibration-z.hf", seconds);
      return high.ok ? ok(rootMeanSquare(high.value)) : high;
    },
  });
}
