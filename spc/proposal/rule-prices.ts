import type { LimitSet } from "../model/limit-set.ts";
import { knownRunLength } from "../price/rules-run-length.ts";
import { appliedRules } from "../rules/applied-rules.ts";
import { rules as rows } from "../rules/rule.ts";
import { QUICK } from "./chance-rate.ts";

/** What one rule costs in chance flags, before it is switched on. */
export interface RulePrice {
  readonly rule: string;
  readonly on: boolean;
  /** False where the basis of the limits takes no such rule: it would open no flag. */
  readonly taken: boolean;
  /** Points to a chance signal of this rule by itself. */
  readonly onceIn: number | null;
  /** Chance flags a week with it beside the rules that are on, and without it. */
  readonly withIt: number | null;
  readonly withoutIt: number | null;
  /** Of the larger of the two; null where both are exact. */
  readonly standardError: number | null;
}

/** Price of every rule on a location chart, with the others as they are, at so many points a week. */
export function rulePrices(set: Pick<LimitSet, "rules" | "basis">, pointsAWeek: number): readonly RulePrice[] {
  return rows.map(({ id: rule }): RulePrice => {
    const others = set.rules.filter((one) => one !== rule);
    const alone = flagsAWeek([rule], set.basis, pointsAWeek);
    const on = set.rules.includes(rule);
    const taken = appliedRules({ rules: [rule], basis: set.basis }, "location").length > 0;
    if (!taken) return { rule, on, taken, onceIn: null, withIt: null, withoutIt: null, standardError: null };
    const withIt = flagsAWeek([...others, rule], set.basis, pointsAWeek);
    const withoutIt = flagsAWeek(others, set.basis, pointsAWeek);
    const errors = [withIt.standardError, withoutIt.standardError].filter((error) => error !== null);
    return {
      ...{ rule, on, taken, onceIn: alone.onceIn, withIt: withIt.aWeek, withoutIt: withoutIt.aWeek },
      standardError: errors.length === 0 ? null : Math.max(...errors),
    };
  });
}

interface Price {
  readonly onceIn: number | null;
  readonly aWeek: number;
  readonly standardError: number | null;
}

function flagsAWeek(names: readonly string[], basis: LimitSet["basis"], pointsAWeek: number): Price {
  const applied = appliedRules({ rules: inOrder(names), basis }, "location");
  if (applied.length === 0) return { onceIn: null, aWeek: 0, standardError: null };
  const { mean, standardError } = knownRunLength(applied, {}, QUICK);
  const aWeek = pointsAWeek / mean;
  return { onceIn: mean, aWeek, standardError: standardError === null ? null : (aWeek * standardError) / mean };
}

/** One order, so that a set of rules is reckoned once however it was put together. */
function inOrder(names: readonly string[]): readonly string[] {
  const known = rows.map(({ id }) => id).filter((id) => names.includes(id));
  return [...known, ...names.filter((name) => !known.includes(name))];
}
