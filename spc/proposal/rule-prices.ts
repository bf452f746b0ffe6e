import type { PricedBy } from "../price/pair-price.ts";
import { pairPrice } from "../price/pair-price.ts";
import { appliedRules, flaggingRules } from "../rules/applied-rules.ts";
import { ruleIds } from "../rules/rule-ids.ts";
import { errorOf } from "./chance-rate.ts";

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
  /** The same of both charts together. */
  readonly pairWithIt: number | null;
  readonly pairWithoutIt: number | null;
}

/** Price of one rule with the others as they are, at so many points a week. */
export function rulePrice(set: PricedBy, rule: string, pointsAWeek: number): RulePrice {
  const on = set.rules.includes(rule);
  const taken =
    flaggingRules({ ...set, rules: [rule] }, "location").length > 0 &&
    appliedRules({ ...set, rules: [rule] }, "location").length > 0;
  const none = { onceIn: null, withIt: null, withoutIt: null, standardError: null };
  if (!taken) return { rule, on, taken, ...none, pairWithIt: null, pairWithoutIt: null };
  const others = set.rules.filter((one) => one !== rule);
  const withIt = flagsAWeek({ ...set, rules: inOrder([...others, rule]) }, pointsAWeek);
  const withoutIt = flagsAWeek({ ...set, rules: inOrder(others) }, pointsAWeek);
  const errors = [withIt.standardError, withoutIt.standardError].filter((error) => error !== null);
  return {
    ...{ rule, on, taken, onceIn: pairPrice({ ...set, rules: [rule] }).location },
    ...{ withIt: withIt.location, withoutIt: withoutIt.location },
    standardError: errors.length === 0 ? null : Math.max(...errors),
    ...{ pairWithIt: withIt.pair, pairWithoutIt: withoutIt.pair },
  };
}

interface FlagsAWeek {
  readonly location: number;
  readonly pair: number;
  readonly standardError: number | null;
}

function flagsAWeek(set: PricedBy, pointsAWeek: number): FlagsAWeek {
  const { location, pair } = pairPrice(set);
  const error = errorOf(set, flaggingRules(set, "location"));
  const aWeek = location === null ? 0 : pointsAWeek / location;
  return {
    location: aWeek,
    pair: pair === null ? 0 : pointsAWeek / pair,
    standardError: error === null || location === null ? null : (aWeek * error) / location,
  };
}

/** One order, so that a set of rules is reckoned once however it was put together. */
function inOrder(names: readonly string[]): readonly string[] {
  const known = ruleIds.filter((id) => names.includes(id));
  return [...known, ...names.filter((name) => !(known as readonly string[]).includes(name))];
}
