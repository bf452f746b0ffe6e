import { type Outcome, ok } from "../model/outcome.ts";
import type { Liquidus } from "./liquidus-iron.ts";
import { outside } from "./range.ts";

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
