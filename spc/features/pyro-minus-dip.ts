import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { dipPlateau } from "./dip-plateau.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { ladleLine, ladlePours } from "./ladle-pours.ts";

/** Further apart in time than so many minutes, dip and pour saw another metal. Common practice, no source. */
const widestMinutes = 5;

/**
 * `pour.pyro_minus_dip`: the stream pyrometer against the dip of the same ladle; soot on its lens lowers it from pour to pour.
 *
 * @shape   a ladle run: role `dip`, and its pours in `inside`, as in `ladlePours`; no settings
 * @unit    K
 * @method  first metal of the flask nearest in time to the dip's plateau, minus the plateau, which is carried to the time of
 *          the pour by the slope of `ladleLine`
 * @refuses those of `dipPlateau`, `ladlePours`, `ladleLine`; `too-far-apart` when no flask was poured within five minutes
 * @throws  RangeError for any setting
 * @cost    O(n^2 log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/ladle.test.ts
 */
export function pyroMinusDip(settings: Readonly<Record<string, number>>): FeatureExtractor {
  featureNumbers("pour.pyro_minus_dip", settings, {});
  return guarded({
    id: "pour.pyro_minus_dip",
    version: 1,
    unit: "K",
    roles: ["dip"],
    plusMinus: 8,
    extract(trace) {
      const dip = dipPlateau(trace);
      if (!dip.ok) return dip;
      const pours = ladlePours(trace);
      if (!pours.ok) return pours;
      const minute = (dip.value.tMs - trace.run.startMs) / 60_000;
      const nearest = pours.value.reduce((a, b) => (Math.abs(b.minute - minute) < Math.abs(a.minute - minute) ? b : a));
      const apart = nearest.minute - minute;
      if (Math.abs(apart) > widestMinutes) {
        return refuse("too-far-apart", "no flask was poured near the dip", {
          needs: widestMinutes,
          has: Math.abs(apart),
        });
      }
      const line = ladleLine(pours.value);
      return line.ok ? ok(nearest.cel - (dip.value.value + line.value.slope * apart)) : line;
    },
  });
}
