import type { LimitSet } from "../model/limit-set.ts";
import type { Outcome } from "../model/outcome.ts";
import { refuse } from "../model/outcome.ts";
import type { EstimatedRunLengths } from "../price/estimated-rules.ts";
import { estimatedRules } from "../price/estimated-rules.ts";
import { knownRunLength } from "../price/rules-run-length.ts";
import type { Simulation } from "../price/simulated-run-length.ts";
import { appliedRules } from "../rules/applied-rules.ts";
import type { Rule } from "../rules/rule.ts";

/** Two digits are enough for a choice, and the pages wait for it. */
export const QUICK: Simulation = { trials: 4_000, seed: 20261125 };

/** How often chance alone signals on the location chart, with nothing wrong. */
export interface ChanceRate {
  /** Rules that are reckoned with: those asked for that the chart takes. */
  readonly rules: readonly string[];
  readonly pointsAWeek: number;
  /** Once in so many points, were centre and sigma known exactly; null where no rule is left. */
  readonly onceIn: number | null;
  /** Where it was simulated. */
  readonly standardError: number | null;
  readonly aWeek: number | null;
  readonly range: ChanceRange;
}

/** What limits from so few points may turn out to be worth. */
export interface ChanceRange {
  /** Rules that the range is of: all, or the limits alone where all would take too long to reckon. */
  readonly rules: readonly string[];
  readonly lengths: Outcome<EstimatedRunLengths>;
}

export type RulesAndBaseline = Pick<LimitSet, "rules" | "basis" | "baseline">;

/** Chance rate of limits at a pace: for known limits, and the range to expect of limits from so few points. */
export function chanceRate(set: RulesAndBaseline, pointsAWeek: number): ChanceRate {
  const rows = appliedRules(set, "location");
  const range = rangeOf(rows, set);
  const rules = rows.map(({ id }) => id);
  if (rows.length === 0) return { rules, pointsAWeek, onceIn: null, standardError: null, aWeek: null, range };
  const { mean, standardError } = knownRunLength(rows, {}, QUICK);
  return { rules, pointsAWeek, onceIn: mean, standardError, aWeek: pointsAWeek / mean, range };
}

/** Two hundred chains of more rules than this take seconds. */
const MOST_RULES = 2;
/** Draws times points of the simulated law of a moving range. */
const MOST_DRAWN = 600_000;

function rangeOf(rows: readonly Rule[], { basis, baseline: { n } }: RulesAndBaseline): ChanceRange {
  const light = rows.length <= MOST_RULES && rows.every(({ kind }) => kind === "limit" || kind === "window");
  const reckoned = light ? rows : rows.filter(({ kind }) => kind === "limit");
  const rules = reckoned.map(({ id }) => id);
  if (reckoned.length === 0) return { rules, lengths: refuse("no-rules", "no rule is left whose range could be told") };
  const key = `${rules.join(" ")} ${basis} ${n}`;
  const found = known.get(key) ?? reckon(reckoned, basis, n);
  if (known.size >= 500) known.clear();
  known.set(key, found);
  return { rules, lengths: found };
}

const known = new Map<string, Outcome<EstimatedRunLengths>>();

function reckon(rows: readonly Rule[], basis: LimitSet["basis"], n: number): Outcome<EstimatedRunLengths> {
  const trials = Math.max(500, Math.min(10_000, Math.floor(MOST_DRAWN / Math.max(n, 1))));
  const estimator = basis === "overall" ? "overall" : "moving-range";
  return estimatedRules(rows, { estimator, points: n, size: 1, simulation: { ...QUICK, trials } });
}
