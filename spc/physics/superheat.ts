import { type Outcome, ok } from "../model/outcome.ts";
import type { Liquidus } from "./liquidus-iron.ts";
import { notPositive, outside } from "./range.ts";

/**
 * Superheat: how far metal is above where it begins to freeze.
 *
 * @shape   metalCel: 400 to 1700 Cel; liquidus: an outcome, so that a refusal (hypereutectic iron) goes through as it is
 * @unit    K; below 0 the thermometer or the chemistry is wrong, for metal that freezes does not flow
 * @method  metal - liquidus
 * @refuses those of the liquidus; `temperature-out-of-range`
 * @cost    O(1)
 * @source  definition
 * @checked tests/reference/spc/physics/superheat.test.ts
 */
export function superheat(metalCel: number, liquidus: Outcome<Liquidus>): Outcome<number> {
  if (!liquidus.ok) return liquidus;
  const strange = outside("temperature-out-of-range", "superheat", metalCel, { from: 400, to: 1700, unit: "Cel" });
  return strange ?? ok(metalCel - liquidus.value.cel);
}

/**
 * How much the foam cools the metal that takes its place: for explanation, never for a limit; what foam takes is known
 * to a factor of three or four.
 *
 * @shape   foamKgM3: 5 to 100; heatMjKg: taken by a kilogram of foam, 0.5 to 5; metalKgM3: 2000 to 8000, liquid;
 *          capacityJkgK: of the liquid metal, 500 to 1500
 * @unit    K
 * @method  rho_f q / (rho_m c_m)
 * @refuses `density-out-of-range`, `heat-out-of-range`
 * @cost    O(1)
 * @source  balance of heat in equal volumes, derived here; 1.0 to 3.6 MJ/kg from memory, low confidence
 * @checked tests/reference/spc/physics/superheat.test.ts
 */
export function foamCooling(
  foamKgM3: number,
  heatMjKg: number,
  metalKgM3: number,
  capacityJkgK: number,
): Outcome<number> {
  return (
    outside("density-out-of-range", "foam", foamKgM3, { from: 5, to: 100, unit: "kg/m3" }) ??
    outside("heat-out-of-range", "foam", heatMjKg, { from: 0.5, to: 5, unit: "MJ/kg" }) ??
    outside("density-out-of-range", "liquid metal", metalKgM3, { from: 2000, to: 8000, unit: "kg/m3" }) ??
    outside("heat-out-of-range", "liquid metal", capacityJkgK, { from: 500, to: 1500, unit: "J/(kg K)" }) ??
    ok((foamKgM3 * heatMjKg * 1e6) / (metalKgM3 * capacityJkgK))
  );
}

/**
 * Pressure of standing metal on the wall of sand.
 *
 * @shape   metalKgM3: 2000 to 8000; headM: 0 to 5 m
 * @unit    kPa
 * @method  rho g h, standard gravity
 * @refuses `density-out-of-range`, `height-out-of-range`
 * @cost    O(1)
 * @source  hydrostatics; standard gravity 9.80665 m/s2
 * @checked tests/reference/spc/physics/superheat.test.ts
 */
export function metalHead(metalKgM3: number, headM: number): Outcome<number> {
  return (
    outside("density-out-of-range", "liquid metal", metalKgM3, { from: 2000, to: 8000, unit: "kg/m3" }) ??
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
 * @checked tests/reference/spc/physics/superheat.test.ts
 */
export function metalVelocity(kgS: number, metalKgM3: number, areaMm2: number): Outcome<number> {
  const strange =
    notPositive("a pouring rate in kg/s", kgS) ??
    notPositive("a cross-section in mm2", areaMm2) ??
    outside("density-out-of-range", "liquid metal", metalKgM3, { from: 2000, to: 8000, unit: "kg/m3" });
  if (strange !== undefined) return strange;
  const velocity = (kgS / metalKgM3 / areaMm2) * 1e6;
  return outside("velocity-out-of-range", "metal velocity", velocity, { from: 0, to: 20, unit: "m/s" }) ?? ok(velocity);
}
