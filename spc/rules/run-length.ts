import { normalCdf } from "../library/normal.ts";
import type { Rule } from "./rule.ts";
import { ruleChain } from "./rule-chain.ts";
import { solve } from "./solve.ts";

/**
 * Average run length: how many points a set of rules lets pass, on average, until one of them fires.
 *
 * @shape   rules as rows, all for one chart; the process's shift from the centre in sigma, 0 for chance alone
 * @unit    dimensionless, points
 * @method  exact Markov chain (`ruleChain`) for independent normal values and known limits: (I - Q) L = 1. Infinite
 *          without rules
 * @cost    O(states^3)
 * @source  Champ and Woodall 1987, Technometrics 29:393-399 (from memory)
 * @checked tests/reference/spc/rules/run-length.test.ts
 */
export function averageRunLength(rules: readonly Rule[], shift: number = 0): number {
  if (rules.length === 0) return Number.POSITIVE_INFINITY;
  const { zones, next } = ruleChain(rules);
  const chance = zones.map(({ lower, upper }) => normalCdf(upper - shift) - normalCdf(lower - shift));
  const matrix = next.map((_, row) => next.map((_, column) => (row === column ? 1 : 0)));
  next.forEach((places, from) => {
    places.forEach((to, zone) => {
      if (to !== null) matrix[from]![to]! -= chance[zone]!;
    });
  });
  return solve(
    matrix,
    next.map(() => 1),
  )[0]!;
}
