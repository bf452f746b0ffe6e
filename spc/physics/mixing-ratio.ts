import { type Outcome, ok, refuse } from "../model/outcome.ts";
import { molarRatio } from "./humidity.ts";
import { vapourOfRelative } from "./moist-air.ts";
import { outside } from "./range.ts";

/** Air pressures at which people work. */
const validHpa = { from: 500, to: 1100, unit: "hPa" };

/**
 * Mixing ratio of air of a vapour pressure: grams of water to each kilogram of dry air.
 *
 * @shape   vapourHpa: 0 or above, below pressureHpa; pressureHpa: absolute, 500 to 1100 hPa
 * @unit    g/kg, of dry air
 * @method  W = 621.98 e / (p - e)
 * @refuses `pressure-out-of-range`, also when the air would be all vapour; `humidity-out-of-range` below 0
 * @cost    O(1)
 * @source  WMO-No. 8, chapter 4 (mixing ratio, 0.62198)
 * @checked tests/reference/spc/physics/moist-air.test.ts
 */
export function mixingRatioOfVapour(vapourHpa: number, pressureHpa: number): Outcome<number> {
  const strange = outside("pressure-out-of-range", "humidity", pressureHpa, validHpa);
  if (strange !== undefined) return strange;
  if (!(vapourHpa >= 0)) return refuse("humidity-out-of-range", `air holds 0 hPa of vapour or more, got ${vapourHpa}`);
  if (!(vapourHpa < pressureHpa)) {
    return refuse(
      "pressure-out-of-range",
      `air needs a pressure above its vapour's ${vapourHpa} hPa, got ${pressureHpa}`,
    );
  }
  return ok((molarRatio * vapourHpa) / (pressureHpa - vapourHpa));
}

/**
 * Vapour pressure of air of a mixing ratio: the way back of `mixingRatioOfVapour`.
 *
 * @shape   ratioGkg: 0 to 10,000 g/kg; pressureHpa: absolute, 500 to 1100 hPa
 * @unit    hPa
 * @method  e = p W / (621.98 + W)
 * @refuses `pressure-out-of-range`; `humidity-out-of-range` below 0 and where hardly any air would be left
 * @cost    O(1)
 * @source  WMO-No. 8, chapter 4 (mixing ratio), solved for the vapour pressure
 * @checked tests/reference/spc/physics/moist-air.test.ts
 */
export function vapourOfMixingRatio(ratioGkg: number, pressureHpa: number): Outcome<number> {
  return (
    outside("pressure-out-of-range", "humidity", pressureHpa, validHpa) ??
    outside("humidity-out-of-range", "a mixing ratio", ratioGkg, { from: 0, to: 10_000, unit: "g/kg" }) ??
    ok((pressureHpa * ratioGkg) / (molarRatio + ratioGkg))
  );
}

/**
 * Mixing ratio from what a humidity probe reads, up to boiling.
 *
 * @shape   tCel: -45 to 100 Cel; rhPercent: 0 to 100; pressureHpa: absolute, 500 to 1100 hPa
 * @unit    g/kg, of dry air
 * @method  vapour pressure by `vapourOfRelative`, then `mixingRatioOfVapour`
 * @refuses `temperature-out-of-range`, `humidity-out-of-range`, `pressure-out-of-range`
 * @cost    O(1)
 * @source  WMO-No. 8, chapter 4; IAPWS R7-97(2012), region 4
 * @checked tests/reference/spc/physics/moist-air.test.ts
 */
export function mixingRatio(tCel: number, rhPercent: number, pressureHpa: number): Outcome<number> {
  const vapour = vapourOfRelative(tCel, rhPercent);
  return vapour.ok ? mixingRatioOfVapour(vapour.value, pressureHpa) : vapour;
}
