import type { LimitSet } from "../spc/model/limit-set.ts";
import type { ProposedLimits } from "../spc/model/proposal.ts";

/** What the Change Record keeps of limits: the numbers that rule, what they rest on, and the rules that watch them. */
export function limitsWords(set: LimitSet | { readonly limits: ProposedLimits }): object {
  const limits = "limits" in set ? set.limits : set;
  const { location, spread, unit, basis, rules, baseline } = limits;
  return {
    ...("id" in set ? { limits: set.id } : {}),
    ...{ location, spread, unit, basis, rules },
    ...{ points: baseline.n, from: new Date(baseline.fromMs).toISOString(), to: new Date(baseline.toMs).toISOString() },
  };
}
