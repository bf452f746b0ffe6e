import type { LimitSet } from "../../spc/model/limit-set.ts";
import type { Exclusion, PersonRef, Proposed, ProposedLimits } from "../../spc/model/proposal.ts";
import type { ChanceRate } from "../../spc/proposal/chance-rate.ts";
import type { ProposalStanding, ProposalState } from "../../spc/proposal/proposal-state.ts";
import type {
  WireChance,
  WireChartHead,
  WireProposal,
  WireProposedLimits,
  WireRestsOn,
} from "../contract/bench-wire.ts";
import type { Charted } from "./charted.ts";
import { instant, wireLimits } from "./wire-form.ts";

export function chartHead({ characteristic, station, plan: { runWord } }: Charted): WireChartHead {
  const { id, name, part, unit, digits } = characteristic;
  const { stage, line } = station;
  return { id, station: characteristic.station, stage, line, name, part, unit, digits, runWord };
}

export function wireProposedLimits(limits: ProposedLimits): WireProposedLimits {
  return { ...wireLimits(limits), unit: limits.unit };
}

export function wireRestsOn({ baseline, diagnostics, estimator }: ProposedLimits | LimitSet): WireRestsOn {
  const { sigmaWithin, sigmaOverall, lag1, lag1Band, distinctValues } = diagnostics;
  return {
    n: baseline.n,
    from: instant(baseline.fromMs),
    to: instant(baseline.toMs),
    imported: baseline.imported,
    excluded: Object.keys(baseline.excluded).length,
    estimator,
    ...{ sigmaWithin, sigmaOverall, lag1, distinctValues },
    lag1Band: [lag1Band[0], lag1Band[1]],
  };
}

export function wireChance({ range, rules, ...rate }: ChanceRate): WireChance {
  const { lengths } = range;
  const found = lengths.ok ? lengths.value : { refusal: lengths.refusal };
  return { ...rate, rules: [...rules], range: { rules: [...range.rules], ...found } };
}

export function wireExclusion({ run, cause, evidence, action, by, atMs }: Exclusion) {
  return { run, cause, evidence, action, by, at: instant(atMs) };
}

export function wirePerson({ id, name }: PersonRef): { id: string; name: string } {
  return { id, name };
}

/** What the person saw crossed the wire once, and stands in the journal in that very form. */
export type Shown = WireProposal["shown"];

export function wireProposal(state: ProposalState, standing: ProposalStanding, charted: Charted): WireProposal {
  const { proposed, agreed, withdrawn } = state;
  return {
    id: proposed.proposal,
    number: proposed.number,
    characteristic: chartHead(charted),
    state: standing,
    limits: wireProposedLimits(proposed.limits),
    window: { from: instant(proposed.window.fromMs), to: instant(proposed.window.toMs) },
    exclusions: proposed.exclusions.map(wireExclusion),
    shown: shownOf(proposed),
    follows: proposed.follows,
    reason: proposed.reason,
    proposed: { by: wirePerson(proposed.by), at: instant(proposed.atMs) },
    agreed: agreed === null ? null : { by: wirePerson(agreed.by), at: instant(agreed.atMs), limitSet: agreed.limitSet },
    withdrawn:
      withdrawn === null
        ? null
        : { by: wirePerson(withdrawn.by), at: instant(withdrawn.atMs), reason: withdrawn.reason },
  };
}

function shownOf({ shown }: Proposed): Shown {
  return shown as Shown;
}
