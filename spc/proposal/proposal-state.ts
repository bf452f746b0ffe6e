import type { EntryBody } from "../model/journal-entry.ts";
import type { Agreed, Proposed, Withdrawn } from "../model/proposal.ts";

/** A proposal as it now stands. */
export interface ProposalState {
  readonly proposed: Proposed;
  readonly agreed: Agreed | null;
  readonly withdrawn: Withdrawn | null;
}

/** What proposals there are, and which limit set is the newest of each characteristic. */
export interface ProposalTable {
  readonly proposals: ReadonlyMap<string, ProposalState>;
  /** By characteristic: id of the set put in force last. */
  readonly newest: ReadonlyMap<string, string>;
}

export const noProposals: ProposalTable = { proposals: new Map(), newest: new Map() };

export type ProposalStanding = "open" | "stale" | "agreed" | "withdrawn";

/** How a proposal stands. It is stale once any other limits followed those that it was meant to follow. */
export function standingOf(
  { proposed, agreed, withdrawn }: ProposalState,
  { newest }: ProposalTable,
): ProposalStanding {
  if (agreed !== null) return "agreed";
  if (withdrawn !== null) return "withdrawn";
  return (newest.get(proposed.characteristic) ?? null) === proposed.follows ? "open" : "stale";
}

/**
 * The table after further entries, in journal order; the one given is left as it was. First come, first served: what is
 * said of a proposal that was agreed, withdrawn or never made changes nothing, and nobody agrees with themselves.
 */
export function applyToProposals(table: ProposalTable, entries: Iterable<EntryBody>): ProposalTable {
  let proposals: Map<string, ProposalState> | null = null;
  let newest: Map<string, string> | null = null;
  for (const entry of entries) {
    if (entry.kind === "limits") {
      newest ??= new Map(table.newest);
      newest.set(entry.body.characteristic, entry.body.id);
      continue;
    }
    const after = proposalAfter(proposals ?? table.proposals, entry);
    if (after === null) continue;
    proposals ??= new Map(table.proposals);
    proposals.set(after.proposed.proposal, after);
  }
  if (proposals === null && newest === null) return table;
  return { proposals: proposals ?? table.proposals, newest: newest ?? table.newest };
}

function proposalAfter(proposals: ReadonlyMap<string, ProposalState>, entry: EntryBody): ProposalState | null {
  switch (entry.kind) {
    case "proposed": {
      const known = proposals.has(entry.body.proposal);
      return known ? null : { proposed: entry.body, agreed: null, withdrawn: null };
    }
    case "agreed": {
      const state = waiting(proposals, entry.body.proposal);
      return state === null || samePerson(state.proposed.by, entry.body.by) ? null : { ...state, agreed: entry.body };
    }
    case "withdrawn": {
      const state = waiting(proposals, entry.body.proposal);
      return state === null ? null : { ...state, withdrawn: entry.body };
    }
    default:
      return null;
  }
}

function waiting(proposals: ReadonlyMap<string, ProposalState>, id: string): ProposalState | null {
  const state = proposals.get(id);
  return state === undefined || state.agreed !== null || state.withdrawn !== null ? null : state;
}

/** Two entries of the settings for one name are one person, as far as anybody who reads the record can tell. */
export function samePerson(
  a: { readonly id: string; readonly name: string },
  b: { readonly id: string; readonly name: string },
): boolean {
  return a.id === b.id || a.name.trim().toLowerCase() === b.name.trim().toLowerCase();
}
