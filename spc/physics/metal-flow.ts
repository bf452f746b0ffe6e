import { type Outcome, ok } from "../model/outcome.ts";
import { notPositive, outside } from "./range.ts";

/** From aluminium to iron and bronze. */
const liquidMetal = { from: 2000, to: 8000, unit: "kg/m3" };

/**
 * Pressure of standing metal on the wall of sand.
 *
 * @shape   metalKgM3: 2000 to 8000; headM: 0 to 5 m
 * @unit    kPa
 * @method  rho g h, standard gravity
 * @refuses `density-out-of-range`, `height-out-of-range`
 * @cost    O(1)
 * @source  hydrostatics; standard gravity 9.80665 m/s2
 * @checked tests/reference/spc/physics/metal-flow.test.ts
 */
export function metalHead(metalKgM3: number, headM: number): Outcome<number> {
  return (
    outside("density-out-of-range", "liquid metal", metalKgM3, liquidMetal) ??
    outside("height-out-of-range", "metal head", headM, { from: 0, to: 5, unit: "m" }) ??
    ok((metalKgM3 * 9.80665 * headM) / 1000)
  );
}

/**
 * Velocity of metal in a gate or rising in a mould, from the rate at which it is poured.
 *
 * @shape   kgS: above 0; metalKgM3: 2000 to 8000; areaMm2: of the cross-section, above 0
 * @unit    m/s
 * @method  rate / (rho A), the section full
 * @refuses `not-positive`, `density-out-of-range`, `velocity-out-of-range` above 20 m/s, which no pour reaches
 * @cost    O(1)
 * @source  conservation of mass; 20 m/s: a fall of 20 m, derived here
 * @checked tests/reference/spc/physics/metal-flow.test.ts
 */
export function metalVelocity(kgS: number, metalKgM3: number, areaMm2: number): Outcome<number> {
  const strange =
    notPositive("a pouring rate in kg/s", kgS) ??
    notPositive("a cross-section in mm2", areaMm2) ??
    outside("density-out-of-range", "liquid metal", metalKgM3, liquidMetal);
  if (strange !== undefined) return strange;
  const velocity = (kgS / metalKgM3 / areaMm2) * 1e6;
  return outside("velocity-out-of-range", "metal velocity", velocity, { from: 0, to: 20, unit: "m/s" }) ?? ok(velocity);
}
