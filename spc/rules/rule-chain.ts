import type { Rule } from "./rule.ts";
import type { HitSide, WindowEntry } from "./rule-window.ts";
import { nextWindow } from "./rule-window.ts";

/** Half-width of the drawn limits in sigma. */
export const LIMIT = 3;

/** A strip of the chart, in sigma from the centre, inside which no rule tells two values apart. */
export interface Zone {
  readonly lower: number;
  readonly upper: number;
}

/** Rules as a Markov chain: what they can remember, and what each zone makes of it. */
export interface RuleChain {
  readonly zones: readonly Zone[];
  /** By state, from the empty one, and by zone: the next state, or null where a rule fires. */
  readonly next: readonly (readonly (number | null)[])[];
}

/**
 * Rule chain: all that a set of rules can remember, so that run lengths can be reckoned exactly.
 *
 * @shape   rules as rows, all for one chart
 * @unit    zones in sigma from the centre
 * @method  states are found by feeding every zone to every memory, with the step that runs live (`nextWindow`)
 * @cost    17 states for beyond-limit with nine-on-one-side; some hundreds for four or more window rules
 * @source  Champ and Woodall 1987, Technometrics 29:393-399 (from memory)
 * @checked tests/reference/spc/rules/run-length.test.ts
 */
export function ruleChain(rules: readonly Rule[]): RuleChain {
  const windowRules = rules.filter((rule) => rule.kind === "window");
  const limited = rules.some((rule) => rule.kind === "limit");
  const zones = zonesBetween([
    ...windowRules.flatMap(({ beyond }) => [-beyond, beyond]),
    ...(limited ? [-LIMIT, LIMIT] : []),
  ]);

  type Memory = readonly (readonly WindowEntry[])[];
  const memories: Memory[] = [windowRules.map(() => [])];
  const places = new Map<string, number>([[keyOf(memories[0]!), 0]]);
  const next: (number | null)[][] = [];
  for (const memory of memories) {
    next.push(
      zones.map((zone) => {
        if (limited && (zone.lower >= LIMIT || zone.upper <= -LIMIT)) return null;
        const steps = windowRules.map((rule, i) =>
          nextWindow(rule, memory[i]!, { run: "", side: sideOf(zone, rule.beyond) }),
        );
        if (steps.some(({ members }) => members !== null)) return null;
        const after = steps.map(({ window }) => window);
        const key = keyOf(after);
        // Iterating over an array goes on to what is pushed meanwhile: that is how new memories are met.
        const place = places.get(key) ?? memories.push(after) - 1;
        places.set(key, place);
        return place;
      }),
    );
  }
  return { zones, next };
}

function zonesBetween(lines: readonly number[]): readonly Zone[] {
  const cuts = [...new Set(lines)].sort((a, b) => a - b);
  const lowers = [Number.NEGATIVE_INFINITY, ...cuts];
  return lowers.map((lower, i) => ({ lower, upper: cuts[i] ?? Number.POSITIVE_INFINITY }));
}

function sideOf(zone: Zone, beyond: number): HitSide {
  return zone.lower >= beyond ? 1 : zone.upper <= -beyond ? -1 : 0;
}

function keyOf(memory: readonly (readonly WindowEntry[])[]): string {
  return memory.map((window) => window.map(({ side }) => side).join()).join(";");
}
