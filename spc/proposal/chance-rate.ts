import type { LimitSet } from "../model/limit-set.ts";
import type { Outcome, Refusal } from "../model/outcome.ts";
import { refuse } from "../model/outcome.ts";
import type { EstimatedFrom } from "../price/estimated-limits.ts";
import type { EstimatedRunLengths } from "../price/estimated-rules.ts";
import { estimatedRules } from "../price/estimated-rules.ts";
import type { PairPrice, PricedBy } from "../price/pair-price.ts";
import { pairPriceSteps } from "../price/pair-price.ts";
import { knownRunLengthSteps } from "../price/rules-run-length.ts";
import { untoldRate } from "../price/untold-rate.ts";
import { flaggingRules } from "../rules/applied-rules.ts";
import type { Rule } from "../rules/rule.ts";

/** How often chance alone opens a flag, with nothing wrong. */
export interface ChanceRate {
  /** Rules that are reckoned with: those of the location chart that may open a flag. */
  readonly rules: readonly string[];
  readonly pointsAWeek: number;
  /** Why no rate is told, where the baseline speaks against every one; null where one is. */
  readonly untold: Refusal | null;
  /** By the location chart: once in so many points, were centre and sigma known; null where no rule is left. */
  readonly onceIn: number | null;
  /** Where it was simulated. */
  readonly standardError: number | null;
  readonly aWeek: number | null;
  /** By both charts together, which is what people see. */
  readonly pair: {
    readonly onceIn: number | null;
    readonly aWeek: number | null;
    readonly method: PairPrice["method"];
  };
  readonly range: ChanceRange;
}

/** What limits from so few points may turn out to be worth, on the location chart. */
export interface ChanceRange {
  /** Rules that the range is of: all, or the limits alone where all would take too long to reckon. */
  readonly rules: readonly string[];
  readonly lengths: Outcome<EstimatedRunLengths>;
}

export type RulesAndBaseline = PricedBy & Pick<LimitSet, "baseline" | "diagnostics">;

/**
 * Chance rate of limits at a pace: for known limits, and the range to expect of limits from so few points. A little at a
 * time: a set of rules takes up to some tenths of a second the first time.
 */
export function* chanceRateSteps(set: RulesAndBaseline, pointsAWeek: number): Generator<undefined, ChanceRate> {
  const rows = flaggingRules(set, "location");
  const untold = untoldRate(set.diagnostics);
  if (untold !== null) {
    const rules = rows.map(({ id }) => id);
    const none = { onceIn: null, standardError: null, aWeek: null } as const;
    const pair = { onceIn: null, aWeek: null, method: "approximate" } as const;
    return { rules, pointsAWeek, untold, ...none, pair, range: { rules, lengths: { ok: false, refusal: untold } } };
  }
  const { location, pair, method } = yield* pairPriceSteps(set);
  const standardError = yield* errorOf(set, rows);
  yield;
  return {
    ...{ rules: rows.map(({ id }) => id), pointsAWeek, untold, onceIn: location, standardError },
    aWeek: location === null ? null : pointsAWeek / location,
    pair: { onceIn: pair, aWeek: pair === null ? 0 : pointsAWeek / pair, method },
    range: rangeOf(rows, set),
  };
}

/** Standard error of a location chart's run length, in points; null where it is exact or there is none. */
function* errorOf({ charts }: PricedBy, rows: readonly Rule[]): Generator<undefined, number | null> {
  if (rows.length === 0 || charts?.[0] === "ewma") return null;
  return (yield* knownRunLengthSteps(rows)).standardError;
}

/** Two hundred chains of more rules than this take seconds. */
const MOST_RULES = 2;
/** Draws times points of the simulated law of a moving range. */
const MOST_DRAWN = 600_000;

function rangeOf(rows: readonly Rule[], set: RulesAndBaseline): ChanceRange {
  const light = rows.length <= MOST_RULES && rows.every(({ kind }) => kind === "limit" || kind === "window");
  const reckoned = light ? rows : rows.filter(({ kind }) => kind === "limit");
  const rules = reckoned.map(({ id }) => id);
  if (reckoned.length === 0) return { rules, lengths: refuse("no-rules", "no rule is left whose range could be told") };
  const from = estimatedFrom(set);
  if (from === null) {
    const why = "what luck there is in the limits of a weighted mean is not reckoned";
    return { rules, lengths: refuse("range-unknown", why) };
  }
  const key = JSON.stringify([rules, from]);
  const found = known.get(key) ?? estimatedRules(reckoned, from);
  if (known.size >= 500) known.clear();
  known.set(key, found);
  return { rules, lengths: found };
}

const known = new Map<string, Outcome<EstimatedRunLengths>>();

function estimatedFrom({ basis, charts, scheme, baseline: { n: points } }: RulesAndBaseline): EstimatedFrom | null {
  const kind = charts?.[0] ?? "individuals";
  if (kind === "ewma") return null;
  if (basis === "overall") return { estimator: "overall", points, size: 1 };
  if (kind === "average") return { estimator: "pooled-s", points, size: scheme?.runs ?? 2 };
  const trials = Math.max(500, Math.min(10_000, Math.floor(MOST_DRAWN / Math.max(points, 1))));
  return { estimator: "moving-range", points, size: 1, simulation: { trials, seed: 20261125 } };
}
