import type { Bus } from "../collector/platform/bus.ts";
import type { Clock } from "../collector/platform/clock.ts";
import type { Actor, Change, ChangeRecord } from "../collector/store/change-record.ts";
import { agreedEntry, limitsEntry, proposedEntry, withdrawnEntry } from "../collector/store/entries.ts";
import type { Journal } from "../collector/store/journal.ts";
import type { Characteristic } from "../spc/model/characteristic.ts";
import type { JournalEntry } from "../spc/model/journal-entry.ts";
import type { LimitSet } from "../spc/model/limit-set.ts";
import type { PersonRef, Proposed } from "../spc/model/proposal.ts";
import { characteristicMonitor } from "../spc/monitor/characteristic-monitor.ts";
import { agreedLimits } from "../spc/proposal/agreed-limits.ts";
import {
  applyToProposals,
  noProposals,
  type ProposalState,
  type ProposalTable,
  samePerson,
  standingOf,
} from "../spc/proposal/proposal-state.ts";
import { limitsWords } from "./limits-change.ts";

/** What somebody proposes; its name, number and place follow from the journal. */
export type NewProposal = Omit<Proposed, "proposal" | "number" | "follows" | "atMs">;

export type ProposalAnswer =
  | { readonly ok: true; readonly proposal: string }
  | {
      readonly ok: false;
      readonly why: "proposal-stale" | "already-agreed" | "already-withdrawn" | "same-person" | "settings-changed";
      readonly detail: string;
    };

export interface ProposalDecisions {
  propose(characteristic: Characteristic, proposal: NewProposal, by: Actor): ProposalAnswer;
  agree(characteristic: Characteristic, proposal: string, by: Actor): ProposalAnswer;
  withdraw(characteristic: Characteristic, proposal: string, by: Actor, reason: string): ProposalAnswer;
}

/**
 * What people decide of limits. How a proposal stands is read from the journal itself, inside the transaction that
 * writes, because another process of this host may have put limits in force a moment ago.
 */
export function proposalDecisions(parts: {
  readonly journal: Journal;
  readonly bus: Bus;
  readonly clock: Clock;
  readonly access: { readonly record: ChangeRecord };
}): ProposalDecisions {
  const { journal, bus, clock } = parts;
  const { record } = parts.access;
  const written = (
    work: () => {
      readonly answer: ProposalAnswer;
      readonly entries: readonly JournalEntry[];
      readonly change?: Change;
    },
  ) => {
    const { answer, entries } = journal.transaction(() => {
      const decided = work();
      journal.append(decided.entries);
      if (decided.change !== undefined) record.append(decided.change);
      return decided;
    });
    if (entries.length > 0) bus.announce("journal");
    return answer;
  };
  const tableOf = ({ id: subject }: Characteristic): ProposalTable =>
    applyToProposals(noProposals, journal.read({ kinds: ["limits", "proposed", "agreed", "withdrawn"], subject }));
  /** Of the same subject: what its newest limits and its newest judged point are. */
  const standing = ({ id: subject }: Characteristic) => {
    const [limits] = journal.read({ kinds: ["limits"], subject, newestFirst: true, limit: 1 });
    const [point] = journal.read({ kinds: ["point"], subject, orderBy: "time", newestFirst: true, limit: 1 });
    return {
      formerRevision: limits?.kind === "limits" ? limits.body.revision : 0,
      judgedMs: point?.kind === "point" ? point.body.atMs : null,
    };
  };

  const inForce = (subject: string) => {
    const [limits] = journal.read({ kinds: ["limits"], subject, newestFirst: true, limit: 1 });
    return limits?.kind === "limits" ? limitsWords(limits.body) : null;
  };

  return {
    propose: (characteristic, proposal, actor) =>
      written(() => {
        const table = tableOf(characteristic);
        const again = [...table.proposals.values()].find(
          (state) => standingOf(state, table) === "open" && isSame(state.proposed, proposal),
        );
        if (again !== undefined) return { answer: { ok: true, proposal: again.proposed.proposal }, entries: [] };
        const number = table.proposals.size + 1;
        const id = `${characteristic.id}~${number}`;
        const follows = table.newest.get(characteristic.id) ?? null;
        const body: Proposed = { ...proposal, proposal: id, number, follows, atMs: clock.nowMs() };
        return {
          answer: { ok: true, proposal: id },
          entries: [proposedEntry(characteristic.station, body)],
          change: {
            ...{ kind: "limits-proposed", subject: characteristic.id, reason: body.reason, by: actor },
            old: inForce(characteristic.id),
            new: {
              proposal: id,
              ...limitsWords(body),
              leftOut: body.exclusions.map(({ run, cause }) => ({ run, cause })),
            },
          },
        };
      }),

    agree: (characteristic, id, actor) =>
      written(() => {
        const by = personOf(actor);
        const table = tableOf(characteristic);
        const state = known(table, id);
        if (state.agreed?.by.id === by.id) return { answer: { ok: true, proposal: id }, entries: [] };
        const closed = whyClosed(state, table);
        if (closed !== null) return { answer: closed, entries: [] };
        if (samePerson(state.proposed.by, by)) {
          const detail = `${by.name} proposed these limits, and a second person has to agree`;
          return { answer: { ok: false, why: "same-person", detail }, entries: [] };
        }
        const atMs = clock.nowMs();
        const set = agreedLimits(state.proposed, { by, atMs, ...standing(characteristic) });
        const unfit = whyUnfit(set, characteristic);
        if (unfit !== null) return { answer: { ok: false, why: "settings-changed", detail: unfit }, entries: [] };
        const agreed = { proposal: id, characteristic: characteristic.id, by, atMs, limitSet: set.id };
        const { station } = characteristic;
        return {
          answer: { ok: true, proposal: id },
          entries: [limitsEntry(station, set), agreedEntry(station, agreed)],
          change: {
            ...{ kind: "limits-agreed", subject: characteristic.id, reason: state.proposed.reason, by: actor },
            old: inForce(characteristic.id),
            new: { proposal: id, proposedBy: state.proposed.by.name, ...limitsWords(set) },
          },
        };
      }),

    withdraw: (characteristic, id, actor, reason) =>
      written(() => {
        const by = personOf(actor);
        const table = tableOf(characteristic);
        const state = known(table, id);
        if (state.withdrawn?.by.id === by.id) return { answer: { ok: true, proposal: id }, entries: [] };
        const closed = whyClosed(state, table);
        // One that can no longer be agreed may still be put away.
        if (closed !== null && closed.why !== "proposal-stale") return { answer: closed, entries: [] };
        const body = { proposal: id, characteristic: characteristic.id, by, atMs: clock.nowMs(), reason };
        return {
          answer: { ok: true, proposal: id },
          entries: [withdrawnEntry(characteristic.station, body)],
          change: {
            ...{ kind: "limits-withdrawn", subject: characteristic.id, reason, by: actor },
            ...{ old: { proposal: id }, new: null },
          },
        };
      }),
  };
}

function personOf({ id, name }: Actor): PersonRef {
  return { id, name };
}

function known({ proposals }: ProposalTable, id: string): ProposalState {
  const state = proposals.get(id);
  // The route found it in the same journal, and entries do not go away.
  if (state === undefined) throw new TypeError(`proposal ${id} is not in the journal`);
  return state;
}

type Refused = Extract<ProposalAnswer, { ok: false }>;

function whyClosed(state: ProposalState, table: ProposalTable): Refused | null {
  const { proposed, agreed, withdrawn } = state;
  switch (standingOf(state, table)) {
    case "open":
      return null;
    case "agreed": {
      const detail = `${agreed?.by.name} agreed to this at ${instant(agreed?.atMs)}, as ${agreed?.limitSet}`;
      return { ok: false, why: "already-agreed", detail };
    }
    case "withdrawn": {
      const detail = `${withdrawn?.by.name} withdrew this at ${instant(withdrawn?.atMs)}: ${withdrawn?.reason}`;
      return { ok: false, why: "already-withdrawn", detail };
    }
    case "stale": {
      const newest = table.newest.get(proposed.characteristic) ?? "other limits";
      const detail = `${newest} came into force after this was proposed: look at the window again and propose anew`;
      return { ok: false, why: "proposal-stale", detail };
    }
  }
}

function instant(ms: number | undefined): string {
  return ms === undefined ? "an unknown time" : new Date(ms).toISOString();
}

/** Why limits cannot rule, or null. The settings may have changed since they were proposed. */
function whyUnfit(set: LimitSet, characteristic: Characteristic): string | null {
  const monitor = characteristicMonitor(characteristic);
  try {
    monitor.step(monitor.initial, { kind: "limits", set });
    return null;
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return error.message;
  }
}

/** The same person, for the same reason, the same numbers from the same runs. */
function isSame(a: Proposed, b: NewProposal): boolean {
  const part = ({ by, reason, limits, exclusions }: NewProposal): string =>
    JSON.stringify([
      ...[by.id, reason, limits],
      exclusions.map(({ run, cause, evidence, action }) => [run, cause, evidence, action]),
    ]);
  return part(a) === part(b);
}
