import { type Outcome, ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { moments } from "../stats/moments.ts";
import { median } from "../stats/quantile.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { finalSeconds, rootMeanSquare, vibrationDefaults } from "./final-seconds.ts";

/** How the one-second values of the final stage become one: `spread` is their standard deviation. */
export type FinalTake = "rms" | "median" | "highest" | "spread";

/**
 * A vibration feature that is one measure of one reduced series over the last seconds of the final stage.
 *
 * @shape   role: a reduced series such as `vibration-x.rms`; segment `final`; setting `seconds`, default 15
 * @unit    as it is told
 * @method  root mean square, median, highest or standard deviation of the one-second values
 * @refuses those of `finalSeconds`
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n log n)
 * @source  definitions; the window common practice, no source
 * @checked tests/unit/spc/features/vib.test.ts
 */
export function finalMeasure(
  id: string,
  unit: string,
  role: string,
  take: FinalTake,
  plusMinus: number,
): (settings: Readonly<Record<string, number>>) => FeatureExtractor {
  return (settings) => {
    const { seconds } = featureNumbers(id, settings, vibrationDefaults);
    return guarded({
      id,
      version: 3,
      unit,
      roles: [role],
      plusMinus,
      extract(trace) {
        const values = finalSeconds(trace, role, seconds);
        return values.ok ? taken(values.value, take) : values;
      },
    });
  };
}

function taken(values: readonly number[], take: FinalTake): Outcome<number> {
  if (take === "rms") return ok(rootMeanSquare(values));
  if (take === "median") return ok(median(values));
  if (take === "highest") return ok(Math.max(...values));
  return ok(values.length < 2 ? 0 : moments(values).sd);
}
