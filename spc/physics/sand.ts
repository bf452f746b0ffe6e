import { type Outcome, ok, refuse } from "../model/outcome.ts";
import { outside } from "./range.ts";

/** Sand and ceramic grain, in kg/m3. */
const validGrain = { from: 2000, to: 4500, unit: "kg/m3" };
/** No medium that fills a flask lies looser. */
const loosest = 500;

/**
 * Porosity of sand: the share of it that is air, from its bulk density and that of the grain in use. Media with another
 * grain, quartz or mullite, share no chart.
 *
 * @shape   bulkKgM3: above 0, below the grain's; grainKgM3: 2000 to 4500, of the medium in the flask
 * @unit    dimensionless, 0 to 1
 * @method  1 - bulk / grain
 * @refuses `density-out-of-range`, also where the bulk would be denser than its grain
 * @cost    O(1)
 * @source  definition; grain of quartz 2650 kg/m3, of mullite 2700 to 2800 (from memory): never a default
 * @checked tests/reference/spc/physics/sand.test.ts
 */
export function porosity(bulkKgM3: number, grainKgM3: number): Outcome<number> {
  const strange = outside("density-out-of-range", "a grain", grainKgM3, validGrain);
  if (strange !== undefined) return strange;
  if (!(bulkKgM3 > 0 && bulkKgM3 < grainKgM3)) {
    return refuse("density-out-of-range", `sand lies between 0 and its grain's ${grainKgM3} kg/m3, got ${bulkKgM3}`);
  }
  return ok(1 - bulkKgM3 / grainKgM3);
}

/**
 * Bulk density of sand of a porosity: the way back of `porosity`.
 *
 * @shape   share: above 0, below 1; grainKgM3: 2000 to 4500
 * @unit    kg/m3
 * @method  (1 - porosity) grain
 * @refuses `density-out-of-range`, `porosity-out-of-range`
 * @cost    O(1)
 * @source  definition
 * @checked tests/reference/spc/physics/sand.test.ts
 */
export function bulkDensityOfPorosity(share: number, grainKgM3: number): Outcome<number> {
  const strange = outside("density-out-of-range", "a grain", grainKgM3, validGrain);
  if (strange !== undefined) return strange;
  if (!(share > 0 && share < 1))
    return refuse("porosity-out-of-range", `a porosity lies between 0 and 1, got ${share}`);
  return ok((1 - share) * grainKgM3);
}

/**
 * Relative density of sand: how far it is compacted between loosest and densest, 0 to 1.
 *
 * @shape   bulkKgM3 between looseKgM3 and denseKgM3, both found by test of the same medium, 500 kg/m3 or more
 * @unit    dimensionless
 * @method  dense (bulk - loose) / (bulk (dense - loose)), which is (e_max - e) / (e_max - e_min) of void ratios
 * @refuses `density-out-of-range` outside loosest and densest, or where these are none
 * @cost    O(1)
 * @source  ASTM D4254 (from memory)
 * @checked tests/reference/spc/physics/sand.test.ts
 */
export function relativeDensity(bulkKgM3: number, looseKgM3: number, denseKgM3: number): Outcome<number> {
  if (!(looseKgM3 >= loosest && denseKgM3 > looseKgM3 && denseKgM3 <= validGrain.to)) {
    return refuse("density-out-of-range", `no sand is loose at ${looseKgM3} and dense at ${denseKgM3} kg/m3`);
  }
  const range = { from: looseKgM3, to: denseKgM3, unit: "kg/m3" };
  return (
    outside("density-out-of-range", "relative density", bulkKgM3, range) ??
    ok((denseKgM3 * (bulkKgM3 - looseKgM3)) / (bulkKgM3 * (denseKgM3 - looseKgM3)))
  );
}
