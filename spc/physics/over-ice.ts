import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { shown } from "./range.ts";

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

/**
 * Frost point: the temperature at which the air's water would begin to settle as frost; a mirror below 0 Cel may show this
 * and not the dew point, which lies lower.
 *
 * @shape   vapourHpa: from that of -65 Cel over ice, 0.0054 hPa, to 6.112 hPa
 * @unit    Cel, over ice
 * @method  with x = ln(e / 6.112): 272.62 x / (22.46 - x)
 * @refuses `humidity-out-of-range` for air that is drier, or so wet that water comes first
 * @cost    O(1)
 * @source  WMO-No. 8, Annex 4.B (constants from memory), solved for temperature
 * @checked tests/reference/spc/physics/frost-point.test.ts
 */
export function frostPoint(vapourHpa: number): Outcome<number> {
  const least = saturationPressureOverIce(validCel.from);
  if (!least.ok) return least;
  if (!(vapourHpa >= least.value && vapourHpa <= 6.112)) {
    return refuse(
      "humidity-out-of-range",
      `a frost point needs ${shown(least.value)} to 6.112 hPa of vapour, got ${vapourHpa}`,
    );
  }
  const x = Math.log(vapourHpa / 6.112);
  return ok((272.62 * x) / (22.46 - x));
}
