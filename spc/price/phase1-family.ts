import type { Rule } from "../rules/rule.ts";
import type { Circumstances } from "../rules/run-length.ts";
import { chanceWithin } from "../rules/run-length.ts";
import type { Simulation } from "./simulated-run-length.ts";
import { simulatedRunLength } from "./simulated-run-length.ts";

/** A chance, and its standard error where it was simulated. */
export interface FamilyChance {
  readonly chance: number;
  readonly standardError: number | null;
}

/**
 * Family false alarm: how probable it is that a baseline with nothing wrong shows at least one signal.
 *
 * @shape   rules as rows, at least one; how many points the baseline has; half-width of the limits in sigma
 * @unit    dimensionless, 0 to 1
 * @method  exact chain over that many points (`chanceWithin`), or the share of simulated runs that fired where rules
 *          compare neighbours. Known limits; limits from the baseline itself give somewhat different chances
 * @throws  RangeError for no rules, for points that are no count
 * @cost    O(points states zones)
 * @source  Champ and Woodall 1987, Technometrics 29:393-399 (from memory)
 * @checked tests/reference/spc/price-rules/family.test.ts
 */
export function familyFalseAlarm(
  rules: readonly Rule[],
  points: number,
  circumstances: Circumstances = {},
  simulation: Simulation = { trials: 20_000, seed: 20261125 },
): FamilyChance {
  if (!rules.some((rule) => rule.kind === "trend" || rule.kind === "alternating")) {
    return { chance: chanceWithin(rules, points, circumstances), standardError: null };
  }
  if (!Number.isInteger(points) || points < 0) throw new RangeError(`a number of points is needed, got ${points}`);
  const chance = simulatedRunLength(rules, circumstances, simulation).within(points);
  return { chance, standardError: Math.sqrt((chance * (1 - chance)) / simulation.trials) };
}
