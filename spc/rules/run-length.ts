import { normalCdf } from "../library/normal.ts";
import type { Rule, WindowRule } from "./rule.ts";
import type { HitSide, WindowEntry } from "./rule-window.ts";
import { nextWindow } from "./rule-window.ts";
import { solve } from "./solve.ts";

/** Half-width of the drawn limits in sigma. */
const LIMIT = 3;

/** A strip of the chart inside which no rule tells two values apart. */
interface Zone {
  readonly probability: number;
  readonly beyondLimit: boolean;
  /** Side of each window rule's lines, in the rules' order. */
  readonly sides: readonly HitSide[];
}

/**
 * Average run length: how many points a set of rules lets pass, on average, until one of them fires.
 *
 * @shape   rules as rows, all for one chart; the process's shift from the centre in sigma, 0 for chance alone
 * @unit    dimensionless, points
 * @method  exact Markov chain for independent normal values with known limits: a state is what the rules themselves
 *          remember (`nextWindow`), a step one zone of the normal; (I - Q) L = 1. Infinite without rules
 * @cost    O(states^3); 17 states for beyond-limit with nine-on-one-side
 * @source  Champ and Woodall 1987, Technometrics 29:393-399 (from memory)
 * @checked tests/reference/spc/rules/run-length.test.ts
 */
export function averageRunLength(rules: readonly Rule[], shift: number = 0): number {
  if (rules.length === 0) return Number.POSITIVE_INFINITY;
  const windowRules = rules.filter((rule) => rule.kind === "window");
  const zones = zonesOf(
    windowRules,
    rules.some((rule) => rule.kind === "limit"),
    shift,
  );

  const states: (readonly (readonly WindowEntry[])[])[] = [windowRules.map(() => [])];
  const places = new Map<string, number>([[key(states[0]!), 0]]);
  const moves: { from: number; to: number; probability: number }[] = [];
  for (let from = 0; from < states.length; from += 1) {
    for (const zone of zones) {
      if (zone.beyondLimit) continue;
      const steps = windowRules.map((rule, i) =>
        nextWindow(rule, states[from]![i]!, { run: "", side: zone.sides[i]! }),
      );
      if (steps.some(({ members }) => members !== null)) continue;
      const next = steps.map(({ window }) => window);
      const to = places.get(key(next)) ?? states.push(next) - 1;
      places.set(key(next), to);
      moves.push({ from, to, probability: zone.probability });
    }
  }

  const matrix = states.map((_, row) => states.map((_, column) => (row === column ? 1 : 0)));
  for (const { from, to, probability } of moves) matrix[from]![to]! -= probability;
  return solve(
    matrix,
    states.map(() => 1),
  )[0]!;
}

/**
 * Signals by chance: how many points of a stable process a set of rules picks out on average.
 *
 * @shape   rules as rows, all for one chart; how many points
 * @unit    dimensionless, a count
 * @method  points over the average run length: counting starts anew after each signal, as after a person's done
 * @source  Champ and Woodall 1987, Technometrics 29:393-399 (from memory)
 * @checked tests/reference/spc/rules/run-length.test.ts
 */
export function signalsByChance(rules: readonly Rule[], points: number): number {
  return points / averageRunLength(rules);
}

function zonesOf(rules: readonly WindowRule[], limited: boolean, shift: number): readonly Zone[] {
  const lines = new Set(rules.flatMap(({ beyond }) => [-beyond, beyond]).map((line) => line + 0));
  if (limited) for (const line of [-LIMIT, LIMIT]) lines.add(line);
  const cuts = [Number.NEGATIVE_INFINITY, ...[...lines].sort((a, b) => a - b), Number.POSITIVE_INFINITY];
  return cuts.slice(1).map((upper, i) => {
    const lower = cuts[i]!;
    return {
      probability: normalCdf(upper - shift) - normalCdf(lower - shift),
      beyondLimit: limited && (lower >= LIMIT || upper <= -LIMIT),
      sides: rules.map(({ beyond }) => (lower >= beyond ? 1 : upper <= -beyond ? -1 : 0)),
    };
  });
}

function key(state: readonly (readonly WindowEntry[])[]): string {
  return state.map((window) => window.map(({ side }) => side).join()).join(";");
}
