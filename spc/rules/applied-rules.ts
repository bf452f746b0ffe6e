import type { LimitSet } from "../model/limit-set.ts";
import type { Rule, RuleOn } from "./rule.ts";
import { ruleById } from "./rule.ts";

/**
 * Applied rules: those of a limit set that one of its charts takes.
 *
 * @shape   the rules' names and the basis of a limit set, and which of its charts
 * @unit    dimensionless
 * @method  what the rows allow. With the basis `overall` neighbouring points are known to depend on each other, run
 *          rules would fire by design, and only limits are left
 * @throws  RangeError for a name without a row: a defect in the caller
 * @source  Nelson 1984, Journal of Quality Technology 16:237-239 (from memory); basis: common practice, no source
 * @checked tests/unit/spc/monitor/characteristic-monitor.test.ts
 */
export function appliedRules(set: Pick<LimitSet, "rules" | "basis">, on: RuleOn): readonly Rule[] {
  return set.rules.map(ruleById).filter((rule) => {
    return rule.on.includes(on) && (set.basis === "chart" || rule.kind === "limit");
  });
}
