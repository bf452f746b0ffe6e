import type { DrawnChart } from "../model/drawn-chart.ts";
import type { RuleId } from "./rule-ids.ts";
import { ruleIds } from "./rule-ids.ts";

type Patterns = DrawnChart["patterns"];

/**
 * Which rules a chart takes. The zones of rules five to eight are counted in sigma, so their statistic must be near
 * normal; where neighbouring points share values, every pattern would come of itself.
 */
export const rulesTaken: Readonly<Record<Patterns, readonly RuleId[]>> = {
  all: ruleIds,
  "first-four": ruleIds.slice(0, 4),
  limit: ["beyond-limit"],
};

/** What each kind of plotted statistic takes. */
export const patternsByKind: Readonly<Record<string, Patterns>> = {
  individuals: "all",
  average: "all",
  median: "all",
  deviation: "all",
  z: "all",
  q: "all",
  residual: "all",
  "batch-mean": "all",
  p: "first-four",
  np: "first-four",
  c: "first-four",
  u: "first-four",
  "p-prime": "first-four",
  "u-prime": "first-four",
  t: "first-four",
  // With exact limits; by three sigma the statistic is too skewed for a pattern.
  g: "first-four",
  range: "limit",
  "standard-deviation": "limit",
  "moving-range": "limit",
  "moving-average": "limit",
  ewma: "limit",
  "cusum-upper": "limit",
  "cusum-lower": "limit",
  w: "limit",
  t2: "limit",
  mewma: "limit",
  "generalised-variance": "limit",
};

/** Rules that fire by design where each value resembles the one before it. */
const firedByAutocorrelation: readonly RuleId[] = [
  "nine-on-one-side",
  "six-in-one-direction",
  "four-of-five-beyond-one-sigma",
];

/**
 * Rules silenced: which rules may page nobody, because neighbouring values depend on each other.
 *
 * @shape   whether the lag-1 autocorrelation lies outside its band
 * @unit    names of rules
 * @method  those that count points on one side or in one direction; they are still drawn
 * @source  common practice, no source; that they fire by design: derived here, see the effect of an AR(1) process
 * @checked tests/unit/spc/rules/applicability.test.ts
 */
export function rulesSilencedBy(autocorrelated: boolean): readonly RuleId[] {
  return autocorrelated ? firedByAutocorrelation : [];
}

/**
 * Rules not applied: which of the rules that were asked for a chart does not take.
 *
 * @shape   a drawn chart and names of rules
 * @unit    names of rules
 * @method  by what the chart's statistic allows
 * @source  Nelson 1984, Journal of Quality Technology 16:237-239 (from memory): attributes take tests one to four;
 *          ranges, moving averages, EWMA and CUSUM their limit only: common practice, no source
 * @checked tests/unit/spc/rules/applicability.test.ts
 */
export function rulesNotApplied(chart: Pick<DrawnChart, "patterns">, rules: readonly RuleId[]): readonly RuleId[] {
  return rules.filter((rule) => !rulesTaken[chart.patterns].includes(rule));
}
