import type { ChartPairName } from "../model/characteristic.ts";
import type { FlagLabel, Side, SignalOn, SignalPolicy } from "../model/signal.ts";
import { OUTSIDE_SPECIFICATION, rules } from "../rules/rule.ts";

/** What a signal says to people. */
export interface SignalWords {
  readonly label: FlagLabel;
  readonly doFirst: string | null;
  readonly says: string;
}

/**
 * The label, the first thing to do and the words of a signal. A row without `on` speaks of the specification for
 * `outside-specification` and of the location chart otherwise; the first row that fits wins. Run rules, and whatever
 * has nothing to do first, stay for review.
 */
export function signalWords(
  policies: readonly SignalPolicy[],
  rule: string,
  side: Side,
  on: SignalOn,
  chart: ChartPairName = "individuals",
): SignalWords {
  const policy = policies.find((row) => row.rule === rule && fits(row, side, on));
  const doFirst = policy?.doFirst ?? null;
  const silent = doFirst === null || policy === undefined || isRunRule(rule);
  return {
    label: silent ? "for-review" : policy.label,
    doFirst,
    says: policy?.says ?? ownWords(rule, side, on, chart),
  };
}

function fits(policy: SignalPolicy, side: Side, on: SignalOn): boolean {
  const meant = policy.on ?? (policy.rule === OUTSIDE_SPECIFICATION ? "specification" : "location");
  return meant === on && (policy.side === undefined || policy.side === side);
}

function isRunRule(id: string): boolean {
  return rules.some((rule) => rule.id === id && rule.kind !== "limit");
}

function ownWords(rule: string, side: Side, on: SignalOn, chart: ChartPairName): string {
  if (on === "specification") return `${side} its specification`;
  if (on === "spread") {
    if (side === "below") return "varies less than it did";
    return chart === "averages-with-s" ? "varies more within its subgroups" : "jumps from run to run";
  }
  if (chart === "ewma") return side === "above" ? "has drifted up" : "has drifted down";
  if (rule === "beyond-limit") return side === "above" ? "above its upper limit" : "below its lower limit";
  return patternWords[rule] ?? `runs in a row ${side} the centre line`;
}

/** Patterns that are not told by their side of the centre line alone. */
const patternWords: Readonly<Record<string, string>> = {
  "six-in-one-direction": "goes on in one direction from run to run",
  "fourteen-alternating": "goes up and down in turn from run to run",
  "two-of-three-beyond-two-sigma": "two of three runs far out on one side",
  "four-of-five-beyond-one-sigma": "four of five runs off the centre line on one side",
  "fifteen-within-one-sigma": "varies less about the centre line than its limits say",
  "eight-outside-one-sigma": "runs in a row avoid the centre line on both sides",
};
