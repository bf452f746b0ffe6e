import { type Outcome, ok, refuse } from "../model/outcome.ts";
import { magnusOverWater } from "./magnus.ts";
import { outside, shown } from "./range.ts";
import { steamPressure, steamTemperature } from "./steam.ts";
import { steamSlope } from "./steam-slope.ts";

/** Up to here the WMO's formula, above it IAPWS-IF97. */
const seamCel = 60;
const validCel = { from: -45, to: 100, unit: "Cel" };

/**
 * Saturation vapour pressure over water from frost to boiling: the WMO's formula in its range, IAPWS-IF97 above 60 Cel.
 *
 * @shape   tCel: -45 to 100 Cel
 * @unit    hPa
 * @method  Magnus to 60 Cel, region 4 above; the latter starts 0.24 % lower (0.05 K), less than any probe can tell
 * @refuses `temperature-out-of-range` outside -45 to 100 Cel, where air at work pressures would be all vapour
 * @cost    O(1)
 * @source  WMO-No. 8, Annex 4.B; IAPWS R7-97(2012), region 4
 * @checked tests/reference/spc/physics/moist-air.test.ts
 */
export function saturationOverWater(tCel: number): Outcome<number> {
  const strange = outside("temperature-out-of-range", "humidity", tCel, validCel);
  if (strange !== undefined) return strange;
  if (tCel <= seamCel) return ok(magnusOverWater(tCel));
  const mpa = steamPressure(tCel + 273.15);
  return mpa.ok ? ok(1e4 * mpa.value) : mpa;
}

/**
 * How steeply the saturation vapour pressure rises with temperature.
 *
 * @shape   tCel: -45 to 100 Cel
 * @unit    hPa/K
 * @method  the derivative of the formula that `saturationOverWater` uses there
 * @refuses `temperature-out-of-range`
 * @cost    O(1)
 * @source  derived here from WMO-No. 8, Annex 4.B and IAPWS R7-97(2012), region 4
 * @checked tests/reference/spc/physics/moist-air.test.ts
 */
export function saturationSlope(tCel: number): Outcome<number> {
  const saturation = saturationOverWater(tCel);
  if (!saturation.ok) return saturation;
  if (tCel <= seamCel) return ok((saturation.value * 17.62 * 243.12) / (243.12 + tCel) ** 2);
  const slope = steamSlope(saturation.value / 1e4);
  return slope.ok ? ok(1000 / slope.value) : slope;
}

/**
 * Vapour pressure of air of a relative humidity.
 *
 * @shape   tCel: -45 to 100 Cel; rhPercent: 0 to 100
 * @unit    hPa
 * @method  RH / 100 times the saturation pressure over water
 * @refuses `temperature-out-of-range`, `humidity-out-of-range`
 * @cost    O(1)
 * @source  WMO-No. 8, chapter 4 (relative humidity)
 * @checked tests/reference/spc/physics/moist-air.test.ts
 */
export function vapourOfRelative(tCel: number, rhPercent: number): Outcome<number> {
  const saturation = saturationOverWater(tCel);
  if (!saturation.ok) return saturation;
  const { value } = saturation;
  return outside("humidity-out-of-range", "humidity", rhPercent, percents) ?? ok((rhPercent / 100) * value);
}

const percents = { from: 0, to: 100, unit: "%" };

/**
 * Relative humidity of air of a vapour pressure: the way back of `vapourOfRelative`.
 *
 * @shape   tCel: -45 to 100 Cel; vapourHpa: 0 to saturation
 * @unit    %
 * @method  100 e / e_w(t)
 * @refuses `temperature-out-of-range`; `humidity-out-of-range` above saturation, where fog would fall
 * @cost    O(1)
 * @source  WMO-No. 8, chapter 4 (relative humidity)
 * @checked tests/reference/spc/physics/moist-air.test.ts
 */
export function relativeOfVapour(tCel: number, vapourHpa: number): Outcome<number> {
  const saturation = saturationOverWater(tCel);
  if (!saturation.ok) return saturation;
  const percent = (100 * vapourHpa) / saturation.value;
  // Saturated air must come back as 100 %, not as a hair more.
  if (percent > 100 && percent < 100 * (1 + 1e-12)) return ok(100);
  return outside("humidity-out-of-range", "humidity", percent, percents) ?? ok(percent);
}

/**
 * Dew point of air of a vapour pressure, read off a mirror or worked out from a probe.
 *
 * @shape   vapourHpa: from that of -45 Cel, 0.11 hPa, to that of 100 Cel, 1014 hPa
 * @unit    Cel, over water
 * @method  the formulas of `saturationOverWater` solved for temperature; between the two at 60 Cel Magnus is taken
 * @refuses `humidity-out-of-range` for air too dry or too wet, and for dry air, which has no dew point
 * @cost    O(1)
 * @source  WMO-No. 8, Annex 4.B; IAPWS R7-97(2012), region 4
 * @checked tests/reference/spc/physics/moist-air.test.ts
 */
export function dewPointOfVapour(vapourHpa: number): Outcome<number> {
  const least = magnusOverWater(validCel.from);
  const most = saturationOverWater(validCel.to);
  if (!most.ok) return most;
  // The last bits of a sum or product of readings must not put the ends of the range outside it.
  const held = Math.min(most.value, Math.max(least, vapourHpa));
  if (!(Math.abs(held - vapourHpa) <= 1e-12 * held)) {
    return refuse(
      "humidity-out-of-range",
      `a dew point needs ${shown(least)} to ${shown(most.value)} hPa of vapour, got ${vapourHpa}`,
    );
  }
  if (held <= magnusOverWater(seamCel)) {
    const x = Math.log(held / 6.112);
    return ok((243.12 * x) / (17.62 - x));
  }
  const kelvin = steamTemperature(held / 1e4);
  return kelvin.ok ? ok(kelvin.value - 273.15) : kelvin;
}

/**
 * Vapour pressure deficit: how thirsty the air is, which drives drying.
 *
 * @shape   tCel: -45 to 100 Cel; rhPercent: 0 to 100
 * @unit    kPa
 * @method  (e_w(t) - e) / 10
 * @refuses `temperature-out-of-range`, `humidity-out-of-range`
 * @cost    O(1)
 * @source  definition (from memory)
 * @checked tests/reference/spc/physics/moist-air.test.ts
 */
export function vapourDeficit(tCel: number, rhPercent: number): Outcome<number> {
  const vapour = vapourOfRelative(tCel, rhPercent);
  const saturation = saturationOverWater(tCel);
  if (!vapour.ok) return vapour;
  return saturation.ok ? ok((saturation.value - vapour.value) / 10) : saturation;
}
