import { LEAST_VALUES } from "../../spc/charts/baseline-values.ts";
import type { LimitSet } from "../../spc/model/limit-set.ts";
import { cautionWords } from "../../spc/proposal/caution-words.ts";
import { type ProposalState, standingOf } from "../../spc/proposal/proposal-state.ts";
import { staleLimits } from "../../spc/proposal/stale-limits.ts";
import type { WireBooked, WireBookedSet, WireCaution } from "../contract/bench-wire.ts";
import { chartHead, wireProposedLimits } from "./bench-wire-form.ts";
import { type Charted, limitsInForce } from "./charted.ts";
import type { ProposalSource } from "./proposals.ts";
import { instant } from "./wire-form.ts";

const DAY_MS = 24 * 3_600_000;

/** All limit sets of one characteristic, and what is proposed for it. */
export function bookedLimits(model: ProposalSource, charted: Charted, nowMs: number): WireBooked {
  const working = limitsInForce(charted, nowMs);
  const sets = charted.limitSets.toSorted((a, b) => b.revision - a.revision);
  const table = model.proposals();
  const open = [...table.proposals.values()].filter(
    (state) => state.proposed.characteristic === charted.characteristic.id && standingOf(state, table) === "open",
  );
  return {
    characteristic: chartHead(charted),
    sets: [
      ...open.toReversed().map((state) => trialSet(state, nowMs)),
      ...sets.map((set, at) => agreedSet(charted, set, sets[at - 1], working, nowMs)),
    ],
    missing: missingRuns(charted, working),
  };
}

/** How many runs there are of those that limits need; null once limits are in force. */
export function missingRuns(
  { imported, recent }: Charted,
  working: LimitSet | undefined,
): { has: number; needs: number } | null {
  if (working !== undefined) return null;
  const streamed = recent.filter(({ location }) => location.value !== null).length;
  return { has: imported.count + streamed, needs: LEAST_VALUES };
}

/** Why the limits in force should be looked at again. */
export function staleOf(charted: Charted, working: LimitSet | undefined, nowMs: number): WireCaution[] {
  if (working === undefined) return [];
  const own = charted.recent.filter(({ limitSet, location }) => limitSet === working.id && location.value !== null);
  return [...staleLimits(working, charted.characteristic, { nowMs, valuesSince: own.length })];
}

function trialSet({ proposed }: ProposalState, nowMs: number): WireBookedSet {
  const { limits } = proposed;
  return {
    ...{ state: "trial", id: proposed.proposal, revision: null },
    limits: wireProposedLimits(limits),
    ...{ proposedBy: proposed.by.name, agreedBy: null, at: instant(proposed.atMs) },
    ...{ effectiveFrom: null, until: null, ageDays: daysSince(proposed.atMs, nowMs), reason: proposed.reason },
    cautions: [...cautionWords(limits)],
    stale: [],
  };
}

function agreedSet(
  charted: Charted,
  set: LimitSet,
  next: LimitSet | undefined,
  working: LimitSet | undefined,
  nowMs: number,
): WireBookedSet {
  const state = working === undefined || set.revision > working.revision ? "waiting" : "retired";
  return {
    state: set.id === working?.id ? "working" : state,
    ...{ id: set.id, revision: set.revision },
    limits: wireProposedLimits(set),
    ...{ proposedBy: set.proposedBy, agreedBy: set.agreedBy, at: instant(set.frozenAtMs) },
    effectiveFrom: instant(set.effectiveFromMs),
    until: next === undefined ? null : instant(next.effectiveFromMs),
    ...{ ageDays: daysSince(set.frozenAtMs, nowMs), reason: set.reason },
    cautions: [...cautionWords(set)],
    stale: set.id === working?.id ? staleOf(charted, set, nowMs) : [],
  };
}

function daysSince(atMs: number, nowMs: number): number {
  return Math.max(0, nowMs - atMs) / DAY_MS;
}
