import type { Rule, ZoneRule } from "./rule.ts";
import { memoryOf } from "./rule-memory.ts";
import { nextInZones } from "./rule-pattern.ts";
import type { HitSide } from "./rule-window.ts";

/** Half-width of the drawn limits in sigma, unless said otherwise. */
export const LIMIT = 3;
/** Where a rule fires. */
export const FIRES = -1;

/** A strip of the chart, in sigma from the centre, inside which no rule tells two values apart. */
export interface Zone {
  readonly lower: number;
  readonly upper: number;
}

/** Rules as a Markov chain: what they can remember, and what each zone makes of it. */
export interface RuleChain {
  readonly zones: readonly Zone[];
  readonly states: number;
  /** The next state by `state * zones.length + zone`, from state 0, which remembers nothing; or `FIRES`. */
  readonly next: Int32Array;
}

/**
 * Rule chain: all that a set of rules can remember, so that run lengths can be reckoned exactly.
 *
 * @shape   rules as rows, all for one chart, none of them a step rule; half-width of the limits in sigma
 * @unit    zones in sigma from the centre
 * @method  for each rule the states that it can reach by the step that runs live (`memoryOf`); then those tuples of them
 *          that can be met together
 * @throws  RangeError for trend or alternating: their memory is a number, so no finite chain holds it
 * @cost    17 states for beyond-limit with nine-on-one-side, some thousands for six rules; O(states rules) to build
 * @source  Champ and Woodall 1987, Technometrics 29:393-399 (from memory)
 * @checked tests/reference/spc/rules/run-length.test.ts
 */
export function ruleChain(rules: readonly Rule[], limit: number = LIMIT): RuleChain {
  const limited = rules.some((rule) => rule.kind === "limit");
  const zoned = rules.filter((rule) => rule.kind !== "limit").map(zoneRule);
  const zones = zonesBetween([
    ...zoned.flatMap((rule) => [-lineOf(rule), lineOf(rule)]),
    ...(limited ? [-limit, limit] : []),
  ]);
  const fires = zones.map((zone) => limited && (zone.lower >= limit || zone.upper <= -limit));
  const memories = zoned.map((rule) => {
    const sides = zones.map((zone) => sideOf(zone, rule));
    return memoryOf(sides, (window, side) => nextInZones(rule, window, { run: "", side }));
  });

  const tuples: (readonly number[])[] = [memories.map(() => 0)];
  const places = new Map<string, number>([[tuples[0]!.join(), 0]]);
  const next: number[] = [];
  for (const tuple of tuples) {
    for (let zone = 0; zone < zones.length; zone += 1) {
      const moves = tuple.map((state, i) => memories[i]![state]![zone]!);
      if (fires[zone] === true || moves.some((move) => move.fires)) {
        next.push(FIRES);
        continue;
      }
      const after = moves.map(({ to }) => to);
      const key = after.join();
      // Iterating over an array goes on to what is pushed meanwhile: that is how new states are met.
      const place = places.get(key) ?? tuples.push(after) - 1;
      places.set(key, place);
      next.push(place);
    }
  }
  return { zones, states: tuples.length, next: Int32Array.from(next) };
}

function zoneRule(rule: Exclude<Rule, { kind: "limit" }>): ZoneRule {
  if (rule.kind !== "trend" && rule.kind !== "alternating") return rule;
  throw new RangeError(`${rule.id} compares neighbours, so no finite chain holds its memory`);
}

/** The line that a rule looks at, in sigma from the centre. */
function lineOf(rule: ZoneRule): number {
  return rule.kind === "inside" ? rule.within : rule.beyond;
}

function zonesBetween(lines: readonly number[]): readonly Zone[] {
  // Adding zero makes one of the two zeros, so that the centre line cuts once.
  const cuts = [...new Set(lines.map((line) => line + 0))].sort((a, b) => a - b);
  const lowers = [Number.NEGATIVE_INFINITY, ...cuts];
  return lowers.map((lower, i) => ({ lower, upper: cuts[i] ?? Number.POSITIVE_INFINITY }));
}

function sideOf(zone: Zone, rule: ZoneRule): HitSide {
  const line = lineOf(rule);
  if (rule.kind === "inside") return zone.lower >= -line && zone.upper <= line ? 1 : 0;
  return zone.lower >= line ? 1 : zone.upper <= -line ? -1 : 0;
}
