import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { saturationPressure } from "./humidity.ts";

/** Air pressures at which people work, in hPa; beyond them the formula was never meant. */
const validHpa = { from: 500, to: 1100 };

/**
 * Enhancement factor: how much more vapour moist air holds than the vapour alone would.
 *
 * @shape   pressureHpa: absolute air pressure, 500 to 1100 hPa
 * @unit    dimensionless, a little above one
 * @method  f = 1.0016 + 3.15e-6 p - 0.074 / p
 * @refuses `pressure-out-of-range` outside 500 to 1100 hPa
 * @cost    O(1)
 * @source  WMO-No. 8, Annex 4.B (from memory); the range is that of weather on land, common practice, no source
 * @checked tests/reference/spc/physics/humidity.test.ts
 */
export function enhancementFactor(pressureHpa: number): Outcome<number> {
  const { from, to } = validHpa;
  if (!(pressureHpa >= from && pressureHpa <= to)) {
    return refuse("pressure-out-of-range", `the factor is computed from ${from} to ${to} hPa, got ${pressureHpa}`);
  }
  return ok(1.0016 + 3.15e-6 * pressureHpa - 0.074 / pressureHpa);
}

/**
 * Vapour pressure by a ventilated psychrometer: from a dry thermometer and one with a wet wick, to check a probe with.
 *
 * @shape   dryCel, wetCel: -45 to 60 Cel, the wet one at 0 Cel or above and no warmer than the dry; pressureHpa: 500 to 1100
 * @unit    hPa
 * @method  e = f(p) e_w(wet) - 6.53e-4 (1 + 0.000944 wet) p (dry - wet), Assmann's instrument with water on the wick
 * @refuses `temperature-out-of-range`, with ice on the wick too, whose constant is another; `pressure-out-of-range`;
 *          `humidity-out-of-range` when the wet thermometer is the warmer or the air would hold less than nothing
 * @cost    O(1)
 * @source  WMO-No. 8, Annex 4.B (from memory)
 * @checked tests/reference/spc/physics/humidity.test.ts
 */
export function psychrometerVapourPressure(dryCel: number, wetCel: number, pressureHpa: number): Outcome<number> {
  const dry = saturationPressure(dryCel);
  if (!dry.ok) return dry;
  const wet = saturationPressure(wetCel);
  if (!wet.ok) return wet;
  if (wetCel < 0) {
    return refuse("temperature-out-of-range", `the wick must hold water, not ice: 0 Cel or above, got ${wetCel}`);
  }
  const factor = enhancementFactor(pressureHpa);
  if (!factor.ok) return factor;
  if (wetCel > dryCel) {
    return refuse(
      "humidity-out-of-range",
      `the wet thermometer, ${wetCel} Cel, cannot be warmer than the dry, ${dryCel}`,
    );
  }
  const vapour = factor.value * wet.value - 6.53e-4 * (1 + 0.000944 * wetCel) * pressureHpa * (dryCel - wetCel);
  if (vapour < 0) {
    return refuse("humidity-out-of-range", `${dryCel} Cel dry beside ${wetCel} Cel wet is drier than air can be`);
  }
  return ok(vapour);
}
