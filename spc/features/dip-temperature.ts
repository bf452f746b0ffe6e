import { ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { dipPlateau } from "./dip-plateau.ts";
import { withoutNumbers } from "./extractor.ts";

/**
 * `ladle.dip`, `furnace.dip`: temperature of the metal by a disposable tip.
 *
 * @shape   role `dip`; no settings
 * @unit    Cel
 * @method  as `dipPlateau`
 * @refuses those of `dipPlateau`
 * @throws  RangeError for any setting
 * @cost    O(n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/ladle.test.ts
 */
export function dipTemperature(id: string): (settings: Readonly<Record<string, number>>) => FeatureExtractor {
  return withoutNumbers({
    id,
    version: 1,
    unit: "Cel",
    roles: ["dip"],
    plusMinus: 4,
    extract(trace) {
      const dip = dipPlateau(trace);
      return dip.ok ? ok(dip.value.value) : dip;
    },
  });
}
