import { type Outcome, ok, refuse } from "../model/outcome.ts";
import { outside, shown } from "./range.ts";
import { steamPressure, steamTemperature } from "./steam.ts";

/** Molar mass of water vapour over that of dry air. */
const molarRatio = 0.621945;

/** Pressures of steam for foam, absolute, with room to both sides: beyond them a gauge is mistaken for another. */
const validBar = { from: 0.2, to: 16, unit: "bar absolute" };
const validHpa = { from: 500, to: 1100, unit: "hPa" };

/** Air mixed into saturated steam, found by two sensors. */
export interface AirInSteam {
  readonly airMolPercent: number;
  readonly airMassPercent: number;
  readonly airBar: number;
  readonly steamBar: number;
  /** What the thermometer's error alone makes of pure steam of this pressure. */
  readonly plusMinusMolPercent: number;
}

/**
 * Absolute pressure of what a gauge reads: steam knows nothing of the air outside.
 *
 * @shape   gaugeBar: finite; ambientHpa: air pressure at the site, 500 to 1100 hPa
 * @unit    bar, absolute
 * @method  gauge + ambient
 * @refuses `pressure-out-of-range` for air of no place on land, and where the sum leaves 0.2 to 16 bar
 * @cost    O(1)
 * @source  definition; the ranges common practice, no source
 * @checked tests/reference/spc/physics/air-in-steam.test.ts
 */
export function absoluteBar(gaugeBar: number, ambientHpa: number): Outcome<number> {
  const noPlace = outside("pressure-out-of-range", "an absolute pressure of steam at ambient", ambientHpa, validHpa);
  if (noPlace !== undefined) return noPlace;
  const bar = gaugeBar + ambientHpa / 1000;
  return outside("pressure-out-of-range", "steam for foam", bar, validBar) ?? ok(bar);
}

/**
 * dTsat: how far the steam's temperature lies above (+) or below (-) that of pure saturated steam of its pressure. Below
 * by more than the instruments' error: air, a wet or slow thermometer, or a pressure sensor that reads high.
 *
 * @shape   tCel: what the thermometer in the chamber reads; gaugeBar; ambientHpa: 500 to 1100 hPa
 * @unit    K
 * @method  t - T_sat(gauge + ambient)
 * @refuses `pressure-out-of-range`; `temperature-out-of-range` outside 0 to 300 Cel
 * @cost    O(1)
 * @source  IAPWS R7-97(2012), region 4
 * @checked tests/reference/spc/physics/air-in-steam.test.ts
 */
export function saturationMismatch(tCel: number, gaugeBar: number, ambientHpa: number): Outcome<number> {
  const strange = outside("temperature-out-of-range", "steam for foam", tCel, { from: 0, to: 300, unit: "Cel" });
  if (strange !== undefined) return strange;
  const bar = absoluteBar(gaugeBar, ambientHpa);
  if (!bar.ok) return bar;
  const saturation = steamTemperature(bar.value / 10);
  return saturation.ok ? ok(tCel + 273.15 - saturation.value) : saturation;
}

/**
 * Air in steam: how much of what fills a chamber is not steam, from its temperature and its pressure.
 *
 * @shape   tCel: 0 to 300 Cel, once the thermometer has followed; bar: 0.2 to 16, absolute; toleranceK: error of the
 *          thermometer (and of the pressure, made one of temperature by `steamSlope`), 0 or above; 0 asks for the formula alone
 * @unit    mol %, mass %, bar
 * @method  Dalton: steam has p_sat(t), air the rest; mass: y / (y + 0.621945 (1 - y)); error: y of pure steam read
 *          `toleranceK` too cold
 * @refuses `temperature-out-of-range`, `pressure-out-of-range`; `not-resolvable` where the temperature is closer to
 *          saturation than the thermometer's error; `superheated` where it lies above
 * @throws  RangeError for a tolerance that is no number of 0 or above
 * @cost    O(1)
 * @source  Dalton's law; IAPWS R7-97(2012), region 4; molar masses of water and dry air (from memory)
 * @checked tests/reference/spc/physics/air-in-steam.test.ts
 */
export function airInSteam(tCel: number, bar: number, toleranceK: number): Outcome<AirInSteam> {
  if (!(toleranceK >= 0 && toleranceK < 100)) {
    throw new RangeError(`a thermometer's tolerance is 0 K or above and below 100 K, got ${toleranceK}`);
  }
  const saturation = saturationCel(tCel, bar);
  if (!saturation.ok) return saturation;
  const below = saturation.value - tCel;
  if (below < -toleranceK) {
    return refuse("superheated", `steam ${shown(-below)} K above saturation says nothing of air`, {
      needs: toleranceK,
      has: -below,
    });
  }
  if (toleranceK > 0 && Math.abs(below) <= toleranceK) {
    const detail = `${shown(below)} K below saturation is no more than the thermometer may err, ${toleranceK} K`;
    return refuse("not-resolvable", detail, { needs: toleranceK, has: Math.abs(below) });
  }
  const steam = steamBar(tCel);
  const misread = steamBar(saturation.value - toleranceK);
  if (!steam.ok) return steam;
  if (!misread.ok) return misread;
  const air = Math.max(0, bar - steam.value);
  return ok({
    airMolPercent: (100 * air) / bar,
    airMassPercent: (100 * air) / (air + molarRatio * steam.value),
    airBar: air,
    steamBar: steam.value,
    plusMinusMolPercent: Math.max(0, 100 * (1 - misread.value / bar)),
  });
}

/**
 * Temperature of steam with air in it: what a good thermometer reads where the purge was poor.
 *
 * @shape   bar: 0.2 to 16 bar absolute; airMolPercent: 0 to below 100
 * @unit    Cel
 * @method  T_sat of the steam's own share of the pressure, (1 - y) p
 * @refuses `pressure-out-of-range`, also where so little steam is left that it would be ice; `air-out-of-range`
 * @cost    O(1)
 * @source  Dalton's law; IAPWS R7-97(2012), region 4
 * @checked tests/reference/spc/physics/air-in-steam.test.ts
 */
export function mixtureTemperature(bar: number, airMolPercent: number): Outcome<number> {
  const strange = outside("pressure-out-of-range", "steam for foam", bar, validBar);
  if (strange !== undefined) return strange;
  if (!(airMolPercent >= 0 && airMolPercent < 100)) {
    return refuse("air-out-of-range", `steam has from 0 to less than 100 mol % of air, got ${airMolPercent}`);
  }
  const t = steamTemperature((bar * (1 - airMolPercent / 100)) / 10);
  return t.ok ? ok(t.value - 273.15) : t;
}

function saturationCel(tCel: number, bar: number): Outcome<number> {
  const cold = outside("temperature-out-of-range", "air in steam", tCel, { from: 0, to: 300, unit: "Cel" });
  if (cold !== undefined) return cold;
  const strange = outside("pressure-out-of-range", "air in steam", bar, validBar);
  if (strange !== undefined) return strange;
  const kelvin = steamTemperature(bar / 10);
  return kelvin.ok ? ok(kelvin.value - 273.15) : kelvin;
}

function steamBar(tCel: number): Outcome<number> {
  const mpa = steamPressure(tCel + 273.15);
  return mpa.ok ? ok(10 * mpa.value) : mpa;
}
