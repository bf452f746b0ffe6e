import { type Outcome, ok, refuse } from "../model/outcome.ts";
import { vapourOfRelative } from "./moist-air.ts";
import { outside, shown } from "./range.ts";

/** Gas constant of dry air, in J/(kg K). */
const gasConstant = 287.055;

/**
 * Dry air in a stream whose volume is measured: what a water balance needs, where a duct's meter gives m3/s.
 *
 * @shape   cubicMetreS: moist air at the state beside it, 0 to 100 m3/s; tCel: -45 to 100 Cel; rhPercent: 0 to 100;
 *          pressureHpa: absolute, 500 to 1100 hPa
 * @unit    kg/s, of dry air
 * @method  V (p - e) / (287.055 T)
 * @refuses `airflow-out-of-range`; `pressure-out-of-range`, also when the air would be all vapour; those of `vapourOfRelative`
 * @cost    O(1)
 * @source  Dalton's law and the ideal gas law; gas constant of dry air to six digits (from memory)
 * @checked tests/reference/spc/physics/dry-air.test.ts
 */
export function dryAirOfVolume(
  cubicMetreS: number,
  tCel: number,
  rhPercent: number,
  pressureHpa: number,
): Outcome<number> {
  const strange =
    outside("airflow-out-of-range", "dry air", cubicMetreS, { from: 0, to: 100, unit: "m3/s" }) ??
    outside("pressure-out-of-range", "dry air", pressureHpa, { from: 500, to: 1100, unit: "hPa" });
  if (strange !== undefined) return strange;
  const vapour = vapourOfRelative(tCel, rhPercent);
  if (!vapour.ok) return vapour;
  const airHpa = pressureHpa - vapour.value;
  if (!(airHpa > 0)) {
    return refuse("pressure-out-of-range", `${shown(vapour.value)} hPa of vapour leave no air at ${pressureHpa} hPa`);
  }
  return ok((cubicMetreS * 100 * airHpa) / (gasConstant * (tCel + 273.15)));
}
