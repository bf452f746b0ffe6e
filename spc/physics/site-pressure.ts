import { type Outcome, ok } from "../model/outcome.ts";
import { outside } from "./range.ts";

/**
 * Standard air pressure at an altitude: what a site takes as its ambient where it has no barometer. Weather moves the true
 * one by some 2 %.
 *
 * @shape   altitudeM: above sea level, -400 to 5000 m
 * @unit    hPa
 * @method  1013.25 (1 - 0.0065 h / 288.15)^5.25588
 * @refuses `height-out-of-range`
 * @cost    O(1)
 * @source  ISO 2533:1975, standard atmosphere up to 11 km (constants from memory)
 * @checked tests/reference/spc/physics/site-pressure.test.ts
 */
export function standardPressure(altitudeM: number): Outcome<number> {
  return (
    outside("height-out-of-range", "standard air pressure", altitudeM, { from: -400, to: 5000, unit: "m" }) ??
    ok(1013.25 * (1 - (0.0065 * altitudeM) / 288.15) ** 5.255_88)
  );
}
