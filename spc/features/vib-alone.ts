import { ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { finalSeconds, rootMeanSquare, vibrationDefaults } from "./final-seconds.ts";

/**
 * `vib.alone`: how much the table's sensor rattles that the flask's wall does not. A loose clamp knocks on both, on the wall
 * somewhat less; a loose sensor on its own channel alone.
 *
 * @shape   roles `vibration-z.hf` and `wall-z.hf`; segment `final`; settings `seconds` (15) and `times` (1.6): what the wall
 *          shows counts so often
 * @unit    [g]
 * @method  high band of the table less `times` that of the wall, as in `vib.hf`. Of a knock h over a noise n the table has
 *          root(n^2 + h^2), the wall root(n^2 + (s h)^2): where s^2 `times` is 1 or more the difference falls with any
 *          size of h, and only what the wall does not have moves it up. The band, since a small knock seldom falls on a
 *          peak of the shaking and so leaves the crest as it was
 * @refuses those of `finalSeconds`
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n)
 * @source  derived here; four fifths of a knock reaching the wall: common practice, no source
 * @checked tests/unit/spc/features/vib-faults.test.ts
 */
export function vibAlone(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const { seconds, times } = featureNumbers("vib.alone", settings, { ...vibrationDefaults, times: 1.6 });
  return guarded({
    id: "vib.alone",
    version: 2,
    unit: "[g]",
    roles: ["vibration-z.hf", "wall-z.hf"],
    plusMinus: 0.01,
    extract(trace) {
      const table = finalSeconds(trace, "vibration-z.hf", seconds);
      if (!table.ok) return table;
      const wall = finalSeconds(trace, "wall-z.hf", seconds);
      if (!wall.ok) return wall;
      return ok(rootMeanSquare(table.value) - times * rootMeanSquare(wall.value));
    },
  });
}
