import type { ProposalStanding, ProposalState, ProposalTable } from "../../spc/proposal/proposal-state.ts";
import { standingOf } from "../../spc/proposal/proposal-state.ts";
import type { WireProposal } from "../contract/bench-wire.ts";
import { cursor, cursorFields, isWhole, type Page } from "../paging.ts";
import { wireProposal } from "./bench-wire-form.ts";
import type { Charted } from "./charted.ts";

export interface ProposalQuery {
  readonly characteristic?: string | undefined;
  readonly state?: ProposalStanding | undefined;
  readonly limit: number;
  readonly after?: string | undefined;
}

/** What is asked of the read model here. */
export interface ProposalSource {
  proposals(): ProposalTable;
  chartedOf(id: string): Charted | undefined;
}

/** One proposal as it now stands; undefined as well where the settings no longer have its characteristic. */
export function proposalOf(model: ProposalSource, id: string): WireProposal | undefined {
  const table = model.proposals();
  const state = table.proposals.get(id);
  return state === undefined ? undefined : wired(model, table, state);
}

/** Of one characteristic, newest first. */
export function proposalsOn(model: ProposalSource, characteristic: string, state?: ProposalStanding): WireProposal[] {
  return listed(model, { characteristic, state }).map(({ wire }) => wire);
}

/** A page of proposals, newest first. */
export function proposalPage(model: ProposalSource, query: ProposalQuery): Page<WireProposal> {
  const all = listed(model, query);
  const before = query.after === undefined ? Number.POSITIVE_INFINITY : cursorFields(query.after, placeOf);
  // Places count from the oldest, so that new ones move none.
  const rest = all.filter(({ place }) => place < before);
  const items = rest.slice(0, query.limit);
  const last = items.at(-1);
  const next = rest.length > query.limit && last !== undefined ? cursor(last.place) : null;
  return { items: items.map(({ wire }) => wire), next };
}

function listed(
  model: ProposalSource,
  { characteristic, state }: Pick<ProposalQuery, "characteristic" | "state">,
): { readonly place: number; readonly wire: WireProposal }[] {
  const table = model.proposals();
  return [...table.proposals.values()]
    .map((one, place) => ({ one, place }))
    .filter(({ one }) => characteristic === undefined || one.proposed.characteristic === characteristic)
    .filter(({ one }) => state === undefined || standingOf(one, table) === state)
    .flatMap(({ one, place }) => {
      const wire = wired(model, table, one);
      return wire === undefined ? [] : [{ place, wire }];
    })
    .reverse();
}

function wired(model: ProposalSource, table: ProposalTable, state: ProposalState): WireProposal | undefined {
  const charted = model.chartedOf(state.proposed.characteristic);
  return charted === undefined ? undefined : wireProposal(state, standingOf(state, table), charted);
}

function placeOf([place, ...rest]: unknown[]): number | undefined {
  return rest.length === 0 && isWhole(place) ? place : undefined;
}
