import { atOnce } from "../model/at-once.ts";
import type { Rule } from "../rules/rule.ts";
import { FIRES, LIMIT, ruleChain } from "../rules/rule-chain.ts";
import type { Circumstances } from "../rules/run-length.ts";
import type { RunLength } from "../rules/survival.ts";
import { seededNormals } from "./simulated-generator.ts";

export interface Simulation {
  readonly trials: number;
  readonly seed: number;
}

/** A mean over trials, and by how much it may be off. */
export interface SimulatedRunLength extends RunLength {
  readonly standardError: number;
  /** Share of the trials that fired within `points`. */
  readonly within: (points: number) => number;
}

/** A run longer than this is cut: nothing that is watched goes on for so many points. */
const LONGEST = 10_000_000;
/** Some milliseconds. */
const TRIALS_A_STEP = 200;

/**
 * Simulated run length: mean, standard deviation and standard error of the number of points until a rule fires.
 *
 * @shape   rules as rows, at least one, trend and alternating among them; shift, half-width of the limits and width of
 *          the lines in sigma; how many trials from which seed
 * @unit    dimensionless, points
 * @method  independent normal values; what looks at zones follows its chain (`ruleChain`), steps are counted
 * @throws  RangeError for no rules, for fewer than two trials
 * @cost    O(trials run length), some tens of nanoseconds a point
 * @source  textbook algorithm, no source
 * @checked tests/reference/spc/price-rules/run-lengths.test.ts
 */
export function simulatedRunLength(
  rules: readonly Rule[],
  circumstances: Circumstances,
  simulation: Simulation,
): SimulatedRunLength {
  return atOnce(simulatedSteps(rules, circumstances, simulation));
}

/**
 * Simulated run length, a few trials at a time: the same numbers, for whoever has other work to do meanwhile.
 *
 * @shape   as `simulatedRunLength`
 * @unit    points
 * @source  as `simulatedRunLength`
 * @checked tests/unit/spc/price-rules/simulated.test.ts
 */
export function* simulatedSteps(
  rules: readonly Rule[],
  { shift = 0, limit = LIMIT, scale = 1 }: Circumstances,
  { trials, seed }: Simulation,
): Generator<undefined, SimulatedRunLength> {
  if (rules.length === 0) throw new RangeError("without rules nothing ever fires");
  if (!Number.isInteger(trials) || trials < 2) throw new RangeError(`a simulation needs two trials, got ${trials}`);
  const zoned = rules.filter((rule) => rule.kind !== "trend" && rule.kind !== "alternating");
  const { zones, next } = ruleChain(zoned, limit);
  const width = zones.length;
  const cuts = Float64Array.from(zones.slice(1), ({ lower }) => lower * scale - shift);
  const stepsUntil = (kind: Rule["kind"]): number =>
    Math.min(...rules.flatMap((rule) => (rule.kind === kind && "points" in rule ? [rule.points - 1] : [])), Infinity);
  const longestTrend = stepsUntil("trend");
  const longestTurns = stepsUntil("alternating");

  const normal = seededNormals(seed);
  const lengths = new Float64Array(trials);
  for (let trial = 0; trial < trials; trial += 1) {
    let state = 0;
    let last = Number.NaN;
    let rising = false;
    let trend = 0;
    let turns = 0;
    let points = 0;
    while (points < LONGEST) {
      const value = normal();
      points += 1;
      let zone = 0;
      while (zone < cuts.length && value > cuts[zone]!) zone += 1;
      state = next[state * width + zone]!;
      if (state === FIRES) break;
      if (points > 1) {
        const up = value > last;
        const on = trend > 0 && up === rising;
        trend = on ? trend + 1 : 1;
        turns = on || turns === 0 ? 1 : turns + 1;
        rising = up;
        if (trend >= longestTrend || turns >= longestTurns) break;
      }
      last = value;
    }
    lengths[trial] = points;
    if (trial % TRIALS_A_STEP === 0) yield;
  }
  const mean = lengths.reduce((sum, one) => sum + one, 0) / trials;
  const variance = lengths.reduce((sum, one) => sum + (one - mean) ** 2, 0) / (trials - 1);
  const within = (points: number): number => lengths.filter((one) => one <= points).length / trials;
  return { mean, sd: Math.sqrt(variance), standardError: Math.sqrt(variance / trials), within };
}
