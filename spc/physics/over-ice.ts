import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";

/** Range that the WMO gives its formula over ice, in Cel. */
const validCel = { from: -65, to: 0 };

/**
 * Saturation vapour pressure of air over ice: less than over supercooled water at the same temperature.
 *
 * @shape   tCel: air temperature, -65 to 0 Cel
 * @unit    hPa
 * @method  Magnus, e_i = 6.112 exp(22.46 t / (272.62 + t)); the enhancement factor of moist air is taken as 1
 * @refuses `temperature-out-of-range` outside -65 to 0 Cel
 * @cost    O(1)
 * @source  WMO-No. 8, Guide to Instruments and Methods of Observation, Annex 4.B (constants from memory)
 * @checked tests/reference/spc/physics/humidity.test.ts
 */
export function saturationPressureOverIce(tCel: number): Outcome<number> {
  const { from, to } = validCel;
  if (!(tCel >= from && tCel <= to)) {
    return refuse("temperature-out-of-range", `air over ice is computed from ${from} to ${to} Cel, got ${tCel}`);
  }
  return ok(6.112 * Math.exp((22.46 * tCel) / (272.62 + tCel)));
}
