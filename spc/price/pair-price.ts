import { c4 } from "../factors/c4.ts";
import { d2 } from "../factors/d2.ts";
import { d3 } from "../factors/d3.ts";
import { chiSquareCdf } from "../library/chi-square.ts";
import { normalCdf } from "../library/normal.ts";
import { atOnce } from "../model/at-once.ts";
import type { LimitSet } from "../model/limit-set.ts";
import type { FlaggedBy } from "../rules/applied-rules.ts";
import { flaggingRules } from "../rules/applied-rules.ts";
import { pairRunLengthSteps } from "../rules/chance.ts";
import type { Rule } from "../rules/rule.ts";
import { LIMIT } from "../rules/rule-chain.ts";
import { averageRunLength } from "../rules/run-length.ts";
import { ewmaRunLength } from "./ewma-run-length.ts";
import { knownRunLengthSteps } from "./rules-run-length.ts";

/** What of a limit set decides how often chance alone opens a flag. */
export type PricedBy = FlaggedBy & Partial<Pick<LimitSet, "scheme">>;

/** Points from one chance flag to the next, with nothing wrong; null where no rule may open one. */
export interface PairPrice {
  /** By the location chart alone. */
  readonly location: number | null;
  /** By both charts of the pair: what people see. */
  readonly pair: number | null;
  /** `exact`, or `approximate` where charts that know of each other are reckoned as if they did not. */
  readonly method: "exact" | "approximate";
}

/**
 * Price of a pair: how often chance alone opens a flag, by the location chart and by both charts together.
 *
 * @shape   rules, basis, charts, lag 1 and scheme of a limit set; individuals where the charts are left out
 * @unit    dimensionless, points
 * @method  independent normal values and known limits; counting starts anew after each flag. Rules that open no flag are
 *          left out. Individuals: `pairRunLengthSteps`; with rules about steps what the ranges add to the others is taken.
 *          Averages: chances of mean and s, which are independent, as 1 - (1 - a)(1 - b). EWMA: `ewmaRunLength` from
 *          exact limits, and the spread likewise
 * @cost    a tenth of a second for a set of rules the first time, a simulation with steps; then nothing
 * @source  Champ and Woodall 1987, Technometrics 29:393-399; Crowder 1987, Technometrics 29:345-354 (both from memory);
 *          put together here
 * @checked tests/reference/spc/rules/pair-price.test.ts
 */
export function pairPrice(set: PricedBy): PairPrice {
  return atOnce(pairPriceSteps(set));
}

/**
 * Price of a pair, a little at a time: the same, remembered as well.
 *
 * @shape   as `pairPrice`
 * @unit    points
 * @source  as `pairPrice`
 * @checked tests/reference/spc/rules/pair-price.test.ts
 */
export function* pairPriceSteps(set: PricedBy): Generator<undefined, PairPrice> {
  const location = flaggingRules(set, "location");
  const spread = flaggingRules(set, "spread");
  const [kind, beside] = set.charts ?? ["individuals", "moving-range"];
  const key = JSON.stringify([kind, beside, location, spread, set.scheme?.runs, set.scheme?.ewma]);
  const found = known.get(key) ?? (yield* reckon(set, location, spread));
  if (known.size >= 500) known.clear();
  known.set(key, found);
  return found;
}

const known = new Map<string, PairPrice>();

/**
 * Flags by chance: how many flags a stable process gives in so many points although nothing is wrong.
 *
 * @shape   how many points; a limit set
 * @unit    dimensionless, a count
 * @method  points over the pair's run length (`pairPrice`). Points that come while a flag is open belong to it and are
 *          not to be counted here. Independent normal values and known limits; limits from few values give more
 * @cost    as `pairPrice`
 * @source  derived here
 * @checked tests/reference/spc/rules/run-length.test.ts
 */
export function flagsByChance(points: number, set: PricedBy): number {
  const { pair } = pairPrice(set);
  return pair === null ? 0 : points / pair;
}

function* reckon(set: PricedBy, location: readonly Rule[], spread: readonly Rule[]): Generator<undefined, PairPrice> {
  const [kind, beside] = set.charts ?? ["individuals", "moving-range"];
  if (kind === "individuals") return yield* ofIndividuals(location, spread);
  const alone =
    kind === "ewma"
      ? ofEwma(set, location)
      : location.length === 0
        ? null
        : (yield* knownRunLengthSteps(location)).mean;
  const added =
    spread.length === 0 ? 0 : beside === "moving-range" ? chanceOfRange() : chanceOfS(set.scheme?.runs ?? 2);
  const rate = 1 - (1 - (alone === null ? 0 : 1 / alone)) * (1 - added);
  const exact = kind === "average" && location.every((rule) => rule.kind === "limit");
  return { location: alone, pair: rate === 0 ? null : 1 / rate, method: exact ? "exact" : "approximate" };
}

function* ofIndividuals(location: readonly Rule[], spread: readonly Rule[]): Generator<undefined, PairPrice> {
  if (location.length === 0) return { location: null, pair: null, method: "exact" };
  const alone = (yield* knownRunLengthSteps(location)).mean;
  const zoned = location.filter((rule) => rule.kind !== "trend" && rule.kind !== "alternating");
  if (zoned.length === location.length)
    return { location: alone, pair: yield* pairRunLengthSteps(location, spread), method: "exact" };
  if (spread.length === 0) return { location: alone, pair: alone, method: "exact" };
  // Ranges fire where values lie far apart, steps where they go on evenly: what ranges add hardly depends on steps.
  const added = 1 / (yield* pairRunLengthSteps(zoned, spread)) - 1 / averageRunLength(zoned);
  return { location: alone, pair: 1 / (1 / alone + added), method: "approximate" };
}

function ofEwma({ scheme }: PricedBy, location: readonly Rule[]): number | null {
  if (location.length === 0 || scheme?.ewma === undefined) return null;
  const { lambda, width } = scheme.ewma;
  return ewmaRunLength({ lambda, width, limits: "exact" }).average;
}

/** Chance of a moving range of two beyond (d2 + 3 d3) sigma. */
function chanceOfRange(): number {
  return 2 * normalCdf(-(d2(2) + LIMIT * d3(2)) / Math.SQRT2);
}

/** Chance of a standard deviation of n values beyond c4 +- 3 sqrt(1 - c4^2). */
function chanceOfS(n: number): number {
  const sd = Math.sqrt(1 - c4(n) ** 2);
  const below = (s: number): number => (s <= 0 ? 0 : chiSquareCdf((n - 1) * s * s, n - 1));
  return below(c4(n) - LIMIT * sd) + 1 - below(c4(n) + LIMIT * sd);
}
