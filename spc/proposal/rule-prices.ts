import type { PricedBy } from "../price/pair-price.ts";
import { pairPriceSteps } from "../price/pair-price.ts";
import { knownRunLengthSteps } from "../price/rules-run-length.ts";
import { flaggingRules } from "../rules/applied-rules.ts";
import { ruleIds } from "../rules/rule-ids.ts";

/** What one rule costs in chance flags, before it is switched on. */
export interface RulePrice {
  readonly rule: string;
  readonly on: boolean;
  /** False where the chart or its basis takes no such rule, or neighbours depend on each other: it opens no flag. */
  readonly taken: boolean;
  /** Points to a chance signal of this rule by itself, on the location chart. */
  readonly onceIn: number | null;
  /** Chance flags a week of the location chart with it beside the rules that are on, and without it. */
  readonly withIt: number | null;
  readonly withoutIt: number | null;
  /** Of the larger of the two; null where both are exact. */
  readonly standardError: number | null;
  /** The same of both charts together: what the spread adds to the rules that are on is taken to stay. */
  readonly pairWithIt: number | null;
  readonly pairWithoutIt: number | null;
}

/** Price of one rule with the others as they are, at so many points a week; a little at a time, as `chanceRateSteps`. */
export function* rulePriceSteps(set: PricedBy, rule: string, pointsAWeek: number): Generator<undefined, RulePrice> {
  const on = set.rules.includes(rule);
  const alone = yield* priceOf({ ...set, rules: [rule] });
  if (alone.chance === 0) {
    const none = { onceIn: null, withIt: null, withoutIt: null, standardError: null };
    return { rule, on, taken: false, ...none, pairWithIt: null, pairWithoutIt: null };
  }
  const others = set.rules.filter((one) => one !== rule);
  const withIt = yield* priceOf({ ...set, rules: inOrder([...others, rule]) });
  const withoutIt = yield* priceOf({ ...set, rules: inOrder(others) });
  const errors = [withIt.error, withoutIt.error].filter((error) => error !== null);
  // Exactly reckoned, both charts with each set of rules would keep a page waiting for seconds.
  const spread = yield* addedBySpread(set);
  return {
    ...{ rule, on, taken: true, onceIn: 1 / alone.chance },
    ...{ withIt: pointsAWeek * withIt.chance, withoutIt: pointsAWeek * withoutIt.chance },
    standardError: errors.length === 0 ? null : pointsAWeek * Math.max(...errors),
    pairWithIt: pointsAWeek * (withIt.chance + spread),
    pairWithoutIt: pointsAWeek * (withoutIt.chance + spread),
  };
}

/** Chance flags a point of a location chart, and by how much they may be off where they were simulated. */
interface Price {
  readonly chance: number;
  readonly error: number | null;
}

function* priceOf(set: PricedBy): Generator<undefined, Price> {
  const rows = flaggingRules(set, "location");
  if (rows.length === 0) return { chance: 0, error: null };
  // A weighted mean has one rule, and a run length of its own.
  if (set.charts?.[0] === "ewma") {
    const { location } = yield* pairPriceSteps(set);
    return { chance: location === null ? 0 : 1 / location, error: null };
  }
  const { mean, standardError } = yield* knownRunLengthSteps(rows);
  return { chance: 1 / mean, error: standardError === null ? null : standardError / mean ** 2 };
}

function* addedBySpread(set: PricedBy): Generator<undefined, number> {
  const { location, pair } = yield* pairPriceSteps({ ...set, rules: inOrder(set.rules) });
  return pair === null ? 0 : 1 / pair - (location === null ? 0 : 1 / location);
}

/** One order, so that a set of rules is reckoned once however it was put together. */
function inOrder(names: readonly string[]): readonly string[] {
  const known = ruleIds.filter((id) => names.includes(id));
  return [...known, ...names.filter((name) => !(known as readonly string[]).includes(name))];
}
