import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { finalSeconds, rootMeanSquare, vibrationDefaults } from "./final-seconds.ts";

/**
 * How hard some axes shook beside another at the end of compaction: `vib.lateral` (x and y over z) tells a motor or a mount,
 * `vib.wall` (flask wall over table) a clamp.
 *
 * @shape   roles: reduced RMS series; segment `final`; setting `seconds`, default 15
 * @unit    1
 * @method  root of the sum of mean squares of the upper roles, over the root mean square of the lower
 * @refuses those of `finalSeconds`; `no-vibration` when the lower is 0
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n)
 * @source  definition; common practice, no source
 * @checked tests/unit/spc/features/vib.test.ts
 */
export function vibRatio(
  id: string,
  upper: readonly string[],
  lower: string,
): (settings: Readonly<Record<string, number>>) => FeatureExtractor {
  return (settings) => {
    const { seconds } = featureNumbers(id, settings, vibrationDefaults);
    return guarded({
      id,
      version: 2,
      unit: "1",
      roles: [...upper, lower],
      plusMinus: 0.03,
      extract(trace) {
        const under = finalSeconds(trace, lower, seconds);
        if (!under.ok) return under;
        const level = rootMeanSquare(under.value);
        if (!(level > 0)) return refuse("no-vibration", "the table did not shake at the end of final");
        const parts: number[] = [];
        for (const role of upper) {
          const values = finalSeconds(trace, role, seconds);
          if (!values.ok) return values;
          parts.push(rootMeanSquare(values.value));
        }
        return ok(Math.hypot(...parts) / level);
      },
    });
  };
}
