import type { LimitSet } from "../model/limit-set.ts";
import { patternsByKind, rulesSilencedBy, rulesTaken } from "./applicability.ts";
import type { Rule, RuleOn } from "./rule.ts";
import { ruleById } from "./rule.ts";
import type { RuleId } from "./rule-ids.ts";
import { ruleIds } from "./rule-ids.ts";

/** What of a limit set decides which of its rules run. */
export type RuledBy = Pick<LimitSet, "rules" | "basis"> & Partial<Pick<LimitSet, "charts">>;

/** What decides which of those may open a flag. */
export type FlaggedBy = RuledBy & { readonly diagnostics?: Pick<LimitSet["diagnostics"], "lag1" | "lag1Band"> };

/**
 * Applied rules: those of a limit set that one of its charts takes.
 *
 * @shape   the rules' names, the basis and the kinds of charts of a limit set, and which of its charts
 * @unit    dimensionless
 * @method  what the rows and the kind of chart allow. With the basis `overall` neighbouring points are known to depend on
 *          each other, run rules would fire by design, and only limits are left
 * @throws  RangeError for a name without a row: a defect in the caller
 * @source  Nelson 1984, Journal of Quality Technology 16:237-239 (from memory); basis: common practice, no source
 * @checked tests/unit/spc/monitor/characteristic-monitor.test.ts
 */
export function appliedRules(set: RuledBy, on: RuleOn): readonly Rule[] {
  const kind = set.charts?.[on === "location" ? 0 : 1];
  const patterns = kind === undefined ? undefined : patternsByKind[kind];
  return set.rules.map(ruleById).filter((rule) => {
    const taken =
      patterns === undefined || patterns === "all" || !isKnown(rule.id) || rulesTaken[patterns].includes(rule.id);
    return taken && rule.on.includes(on) && (set.basis === "chart" || rule.kind === "limit");
  });
}

/**
 * Silenced rules: those of a limit set whose patterns are drawn and open no flag.
 *
 * @shape   a limit set
 * @unit    dimensionless, names of rules
 * @method  `rulesSilencedBy`, where the lag-1 autocorrelation of the baseline lies outside its band
 * @source  common practice, no source
 * @checked tests/unit/spc/monitor/silenced-rules.test.ts
 */
export function silencedRules({ rules, diagnostics }: FlaggedBy): readonly string[] {
  if (diagnostics === undefined) return [];
  const { lag1, lag1Band } = diagnostics;
  const silent: readonly string[] = rulesSilencedBy(lag1 < lag1Band[0] || lag1 > lag1Band[1]);
  return rules.filter((rule) => silent.includes(rule));
}

/**
 * Flagging rules: those of a limit set that may open a flag from one of its charts.
 *
 * @shape   a limit set, and which of its charts
 * @unit    dimensionless
 * @method  `appliedRules` without `silencedRules`
 * @throws  RangeError for a name without a row: a defect in the caller
 * @source  as `appliedRules`
 * @checked tests/unit/spc/monitor/silenced-rules.test.ts
 */
export function flaggingRules(set: FlaggedBy, on: RuleOn): readonly Rule[] {
  const silent = silencedRules(set);
  return appliedRules(set, on).filter(({ id }) => !silent.includes(id));
}

function isKnown(id: string): id is RuleId {
  return (ruleIds as readonly string[]).includes(id);
}
