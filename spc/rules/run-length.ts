import { normalCdf } from "../library/normal.ts";
import type { Rule } from "./rule.ts";
import type { RuleChain } from "./rule-chain.ts";
import { FIRES, LIMIT, ruleChain } from "./rule-chain.ts";
import type { MassStep, RunLength } from "./survival.ts";
import { runLengthOf } from "./survival.ts";

/** What the process and the lines are like; all but `shift` as they should be unless said otherwise. */
export interface Circumstances {
  /** How far the process lies from the centre line, in sigma. */
  readonly shift?: number;
  /** Half-width of the limits in sigma. */
  readonly limit?: number;
  /** Sigma from which the lines were drawn over the true one. */
  readonly scale?: number;
}

/**
 * Run length of rules: how many points a set of rules lets pass until one of them fires, mean and standard deviation.
 *
 * @shape   rules as rows, all for one chart, at least one; the process's shift from the centre in sigma, the half-width
 *          of the limits, and how wide the lines were drawn
 * @unit    dimensionless, points
 * @method  exact Markov chain (`ruleChain`) for independent normal values, its survival summed (`runLengthOf`)
 * @throws  RangeError for no rules, for trend or alternating, for a shift or width that is no number
 * @cost    O(states zones) a point, some hundred points; the chain of a set of rules is built once
 * @source  Champ and Woodall 1987, Technometrics 29:393-399 (from memory)
 * @checked tests/reference/spc/rules/run-length.test.ts
 */
export function rulesRunLength(rules: readonly Rule[], circumstances: Circumstances = {}): RunLength {
  const { start, step } = walk(rules, circumstances);
  return runLengthOf(start, step, total);
}

/**
 * Average run length: how many points a set of rules lets pass, on average, until one of them fires.
 *
 * @shape   rules as rows, all for one chart; the process's shift from the centre in sigma, 0 for chance alone
 * @unit    dimensionless, points
 * @method  `rulesRunLength`. Infinite without rules
 * @source  Champ and Woodall 1987, Technometrics 29:393-399 (from memory)
 * @checked tests/reference/spc/rules/run-length.test.ts
 */
export function averageRunLength(rules: readonly Rule[], shift: number = 0): number {
  return rules.length === 0 ? Number.POSITIVE_INFINITY : rulesRunLength(rules, { shift }).mean;
}

/**
 * Chance within: how probable it is that a set of rules fires at least once within so many points.
 *
 * @shape   rules as for `rulesRunLength`; a whole number of points, 0 or more
 * @unit    dimensionless, 0 to 1
 * @method  the same chain, followed over these points; small chances keep their digits, because what fires is summed
 * @throws  RangeError as `rulesRunLength`, and for points that are no count
 * @cost    O(points states zones)
 * @source  Champ and Woodall 1987, Technometrics 29:393-399 (from memory)
 * @checked tests/reference/spc/price-rules/family.test.ts
 */
export function chanceWithin(rules: readonly Rule[], points: number, circumstances: Circumstances = {}): number {
  if (!Number.isInteger(points) || points < 0) throw new RangeError(`a number of points is needed, got ${points}`);
  const { start, step } = walk(rules, circumstances);
  let mass: Float64Array = start;
  let after: Float64Array = new Float64Array(start.length);
  let fired = 0;
  for (let point = 0; point < points; point += 1) {
    after.fill(0);
    fired += step(mass, after);
    [mass, after] = [after, mass];
  }
  return Math.min(fired, 1);
}

const chains = new Map<string, RuleChain>();

/** The chain of these rules, built once. */
function chainOf(rules: readonly Rule[], limit: number): RuleChain {
  const key = JSON.stringify([limit, rules]);
  const found = chains.get(key) ?? ruleChain(rules, limit);
  // Rules come from a short list, but nothing in the process may grow without an end.
  if (chains.size >= 64) chains.clear();
  chains.set(key, found);
  return found;
}

function walk(
  rules: readonly Rule[],
  { shift = 0, limit = LIMIT, scale = 1 }: Circumstances,
): { readonly start: Float64Array; readonly step: MassStep } {
  if (rules.length === 0) throw new RangeError("without rules nothing ever fires");
  if (!(Number.isFinite(shift) && limit > 0 && scale > 0 && Number.isFinite(scale) && Number.isFinite(limit))) {
    throw new RangeError(
      `shift, limit and scale must be numbers, the last two above zero: ${shift}, ${limit}, ${scale}`,
    );
  }
  const { zones, states, next } = chainOf(rules, limit);
  const chances = zones.map(({ lower, upper }) => between(lower * scale - shift, upper * scale - shift));
  const width = zones.length;
  const start = new Float64Array(states);
  start[0] = 1;
  const step: MassStep = (before, after) => {
    let fired = 0;
    for (let from = 0; from < states; from += 1) {
      const mass = before[from]!;
      if (mass === 0) continue;
      for (let zone = 0; zone < width; zone += 1) {
        const to = next[from * width + zone]!;
        if (to === FIRES) fired += mass * chances[zone]!;
        else after[to]! += mass * chances[zone]!;
      }
    }
    return fired;
  };
  return { start, step };
}

/** Share of a standard normal between two values, from the tail that keeps the digits. */
function between(lower: number, upper: number): number {
  return lower > 0 ? normalCdf(-lower) - normalCdf(-upper) : normalCdf(upper) - normalCdf(lower);
}

function total(mass: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < mass.length; i += 1) sum += mass[i]!;
  return sum;
}
