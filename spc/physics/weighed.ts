import { type Outcome, ok, refuse } from "../model/outcome.ts";
import { notPositive } from "./range.ts";

/**
 * Density from a weighing and a volume. Bulk density of prepuff (a known cup) and density of a moulded pattern (weight
 * over tool volume) are two things with one unit, never to be mixed.
 *
 * @shape   grams, litres: above 0
 * @unit    g/L, which is kg/m3
 * @method  mass / volume
 * @refuses `not-positive`, `not-finite`
 * @cost    O(1)
 * @source  definition
 * @checked tests/reference/spc/physics/weighed.test.ts
 */
export function densityOf(grams: number, litres: number): Outcome<number> {
  return quotient(notPositive("a mass in g", grams) ?? notPositive("a volume in L", litres), grams, litres);
}

/**
 * Coating on an area: what a cluster gained between bare and dry, over its surface.
 *
 * @shape   bareGrams: above 0; coatedGrams: at least that; squareDm: above 0
 * @unit    g/dm2
 * @method  (coated - bare) / area
 * @refuses `not-positive`, `not-finite`; `weights-swapped` where the coated one is the lighter
 * @cost    O(1)
 * @source  definition
 * @checked tests/reference/spc/physics/weighed.test.ts
 */
export function coatingOnArea(bareGrams: number, coatedGrams: number, squareDm: number): Outcome<number> {
  const strange = noPair(bareGrams, coatedGrams) ?? notPositive("an area in dm2", squareDm);
  return quotient(strange, coatedGrams - bareGrams, squareDm);
}

/**
 * Moisture of what was weighed wet and dry, as share of the wet mass: prepuff and sand.
 *
 * @shape   dryGrams: above 0; wetGrams: at least that
 * @unit    % of the wet mass
 * @method  100 (wet - dry) / wet
 * @refuses `not-positive`, `not-finite`; `weights-swapped` where the wet one is the lighter
 * @cost    O(1)
 * @source  definition
 * @checked tests/reference/spc/physics/weighed.test.ts
 */
export function moistureOfWet(dryGrams: number, wetGrams: number): Outcome<number> {
  return quotient(noPair(dryGrams, wetGrams), 100 * (wetGrams - dryGrams), wetGrams);
}

/**
 * Water left, as share of the dry coating: the only true dryness of a witness that hangs on a load cell.
 *
 * @shape   finalGrams, nowGrams: weights of the witness at its end and now; dryCoatGrams: its coating, dry, above 0
 * @unit    % of the dry coating's mass
 * @method  100 (now - final) / dry coating
 * @refuses `not-positive`, `not-finite`; `weights-swapped` where it weighs less than at its end
 * @cost    O(1)
 * @source  definition
 * @checked tests/reference/spc/physics/weighed.test.ts
 */
export function waterOfDryCoat(finalGrams: number, nowGrams: number, dryCoatGrams: number): Outcome<number> {
  const strange = noPair(finalGrams, nowGrams) ?? notPositive("a dry coating in g", dryCoatGrams);
  return quotient(strange, 100 * (nowGrams - finalGrams), dryCoatGrams);
}

/**
 * Density index of an aluminium melt: how much lighter a sample freezes under low pressure, a measure of hydrogen and
 * oxides together.
 *
 * @shape   atAir, atLowPressure: densities of the two samples in one unit, above 0
 * @unit    %
 * @method  100 (D_air - D_low) / D_air
 * @refuses `not-positive`, `not-finite`; `weights-swapped` where the sample of low pressure is the denser
 * @cost    O(1)
 * @source  foundry lexicon of the Giesserei publishing house, entry Density index
 * @checked tests/reference/spc/physics/weighed.test.ts
 */
export function densityIndex(atAir: number, atLowPressure: number): Outcome<number> {
  return quotient(noPair(atLowPressure, atAir), 100 * (atAir - atLowPressure), atAir);
}

/**
 * Pentane left in bead that stands open: it goes off at a rate that falls with what is left.
 *
 * @shape   atOpening: mass per cent, above 0 to 100; perHour: found by weighing at the plant's own storage, above 0;
 *          hours: 0 or above
 * @unit    % by mass
 * @method  p e^(-k t)
 * @refuses `not-positive`; `pentane-out-of-range`, `time-out-of-range`
 * @cost    O(1)
 * @source  first-order loss, common practice, no source; no rate is a default, for it goes with bead and store
 * @checked tests/reference/spc/physics/weighed.test.ts
 */
export function pentaneLeft(atOpening: number, perHour: number, hours: number): Outcome<number> {
  const strange = notPositive("a rate of loss in 1/h", perHour);
  if (strange !== undefined) return strange;
  if (!(atOpening > 0 && atOpening <= 100)) {
    return refuse("pentane-out-of-range", `bead has above 0 to 100 % of pentane, got ${atOpening}`);
  }
  if (!(hours >= 0 && hours < Number.POSITIVE_INFINITY)) {
    return refuse("time-out-of-range", `bead was opened 0 h ago or more, got ${hours}`);
  }
  return ok(atOpening * Math.exp(-perHour * hours));
}

type Refused = ReturnType<typeof notPositive>;

function noPair(lighter: number, heavier: number): Refused {
  const strange = notPositive("a weight", lighter) ?? notPositive("a weight", heavier);
  if (strange !== undefined || lighter <= heavier) return strange;
  return refuse("weights-swapped", `what must weigh ${lighter} or more weighs ${heavier}`);
}

function quotient(strange: Refused, over: number, under: number): Outcome<number> {
  if (strange !== undefined) return strange;
  const value = over / under;
  return Number.isFinite(value) ? ok(value) : refuse("not-finite", `${over} over ${under} leaves the range of numbers`);
}
