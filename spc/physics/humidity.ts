import { type Outcome, ok, refuse } from "../model/outcome.ts";
import { magnusExponent, magnusOverWater } from "./magnus.ts";

/** Range that the WMO gives its formula over water, in Cel. */
const validCel = { from: -45, to: 60 };

/** Molar mass of water over that of dry air, in g/kg. */
export const molarRatio = 621.98;

/**
 * Saturation vapour pressure of air over water: the most water it can hold.
 *
 * @shape   tCel: air temperature, -45 to 60 Cel
 * @unit    hPa
 * @method  Magnus, e_w = 6.112 exp(17.62 t / (243.12 + t)); the enhancement factor of moist air is taken as 1
 * @refuses `temperature-out-of-range` outside -45 to 60 Cel, where the formula leaves the tables (0.6 % at 70 Cel)
 * @cost    O(1)
 * @source  WMO-No. 8, Guide to Instruments and Methods of Observation, Annex 4.B
 * @checked tests/reference/spc/physics/humidity.test.ts
 */
export function saturationPressure(tCel: number): Outcome<number> {
  if (!(tCel >= validCel.from && tCel <= validCel.to)) {
    const { from, to } = validCel;
    return refuse("temperature-out-of-range", `humidity is computed from ${from} to ${to} Cel, got ${tCel}`);
  }
  return ok(magnusOverWater(tCel));
}

/**
 * Dew point: the temperature at which the air's water would begin to condense.
 *
 * @shape   tCel: -45 to 60 Cel; rhPercent: above 0, at most 100
 * @unit    Cel
 * @method  with x = ln(RH / 100) + 17.62 t / (243.12 + t): 243.12 x / (17.62 - x)
 * @refuses `temperature-out-of-range`; `humidity-out-of-range`, 0 included, for dry air has no dew point
 * @cost    O(1)
 * @source  WMO-No. 8, Annex 4.B, solved for temperature
 * @checked tests/reference/spc/physics/humidity.test.ts
 */
export function dewPoint(tCel: number, rhPercent: number): Outcome<number> {
  const saturation = saturationPressure(tCel);
  if (!saturation.ok) return saturation;
  if (!(rhPercent > 0 && rhPercent <= 100)) {
    return refuse("humidity-out-of-range", `a dew point needs a relative humidity above 0 to 100 %, got ${rhPercent}`);
  }
  const x = Math.log(rhPercent / 100) + magnusExponent(tCel);
  return ok((243.12 * x) / (17.62 - x));
}

/**
 * Humidity ratio W: mass of water carried by each kilogram of dry air; unlike relative humidity it does not move when
 * the air is only warmed.
 *
 * @shape   tCel: -45 to 60 Cel; rhPercent: 0 to 100; pressureHpa: absolute, above the vapour pressure
 * @unit    g/kg, of dry air
 * @method  W = 621.98 e / (p - e), e = RH / 100 e_w(t)
 * @refuses `temperature-out-of-range`, `humidity-out-of-range`; `pressure-out-of-range` when the air would be all vapour
 * @cost    O(1)
 * @source  WMO-No. 8, chapter 4 (mixing ratio, 0.62198)
 * @checked tests/reference/spc/physics/humidity.test.ts
 */
export function humidityRatio(tCel: number, rhPercent: number, pressureHpa: number): Outcome<number> {
  const saturation = saturationPressure(tCel);
  if (!saturation.ok) return saturation;
  if (!(rhPercent >= 0 && rhPercent <= 100)) {
    return refuse(
      "humidity-out-of-range",
      `a humidity ratio needs a relative humidity of 0 to 100 %, got ${rhPercent}`,
    );
  }
  const vapour = (rhPercent / 100) * saturation.value;
  if (!(pressureHpa > vapour && pressureHpa < Infinity)) {
    return refuse("pressure-out-of-range", `air needs a pressure above its vapour pressure, got ${pressureHpa} hPa`);
  }
  return ok((molarRatio * vapour) / (pressureHpa - vapour));
}

/**
 * Absolute humidity: mass of water in a volume of air.
 *
 * @shape   tCel: -45 to 60 Cel; rhPercent: 0 to 100
 * @unit    g/m3
 * @method  ideal gas, e / (R T) with e = RH / 100 e_w(t), T = t + 273.15 K and R = 461.5 J/(kg K) of water vapour
 * @refuses `temperature-out-of-range`, `humidity-out-of-range`
 * @cost    O(1)
 * @source  ideal gas law; gas constant of water vapour to four digits (from memory)
 * @checked tests/reference/spc/physics/humidity.test.ts
 */
export function absoluteHumidity(tCel: number, rhPercent: number): Outcome<number> {
  const saturation = saturationPressure(tCel);
  if (!saturation.ok) return saturation;
  if (!(rhPercent >= 0 && rhPercent <= 100)) {
    return refuse("humidity-out-of-range", `absolute humidity needs a relative one of 0 to 100 %, got ${rhPercent}`);
  }
  const vapourPascal = rhPercent * saturation.value;
  return ok((1000 * vapourPascal) / (461.5 * (tCel + 273.15)));
}
