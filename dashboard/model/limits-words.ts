import type { WireBooked, WireBookedSet, WireProposal } from "../../api/contract/bench-wire.ts";
import type { WireProblem } from "../../api/contract/wire.ts";
import type { SiteTimes } from "./times.ts";

export type BookState = WireBookedSet["state"] | "missing";

export const bookStates: readonly BookState[] = ["trial", "working", "waiting", "retired", "missing"];

const stateNames: Readonly<Record<BookState, string>> = {
  trial: "Proposed",
  working: "Working",
  waiting: "Agreed, not yet in force",
  retired: "Retired",
  missing: "Without limits",
};

export function stateName(state: BookState): string {
  return stateNames[state];
}

/** `less than a day`, `1 day`, `40 days` */
export function ageWords(days: number): string {
  const whole = Math.floor(days);
  return whole < 1 ? "less than a day" : whole === 1 ? "1 day" : `${whole} days`;
}

/** `Working limits 3`, or `Proposal 2` before they rule. */
export function setName(set: WireBookedSet, number: number | null): string {
  return set.revision === null ? `Proposal${number === null ? "" : ` ${number}`}` : `Limits ${set.revision}`;
}

export interface BookFilter {
  readonly station: string | null;
  readonly state: BookState | null;
}

export function bookFilter(search: string): BookFilter {
  const given = new URLSearchParams(search);
  const state = given.get("state");
  return { station: given.get("station"), state: bookStates.find((one) => one === state) ?? null };
}

export function bookSearch({ station, state }: BookFilter): string {
  const said = new URLSearchParams();
  if (station !== null) said.set("station", station);
  if (state !== null) said.set("state", state);
  const text = said.toString();
  return text === "" ? "" : `?${text}`;
}

/** What the book shows through a filter; a characteristic of which nothing is left is left out itself. */
export function filtered(items: readonly WireBooked[], { station, state }: BookFilter): readonly WireBooked[] {
  return items
    .filter(({ characteristic }) => station === null || characteristic.station === station)
    .flatMap((item) => {
      if (state === null) return [item];
      if (state === "missing") return item.missing === null ? [] : [{ ...item, sets: [] }];
      const sets = item.sets.filter((set) => set.state === state);
      return sets.length === 0 ? [] : [{ ...item, sets, missing: null }];
    });
}

export type SignedKind = "propose" | "agree" | "withdraw";

/** Why a decision was refused, for the person who stands before it. `theirs` is the proposal as it now stands. */
export function refusedWords(
  problem: WireProblem,
  context: {
    readonly person: string;
    readonly kind: SignedKind;
    readonly theirs: WireProposal | null;
    readonly times: SiteTimes;
  },
): string {
  const { person, kind, theirs, times } = context;
  const when = (at: string): string => `${times.day(Date.parse(at))} ${times.minute(Date.parse(at))}`;
  switch (problem.code) {
    case "unknown-person":
      return "This person has no open account any more. Nothing was saved.";
    case "no-pin":
      return `${person} has chosen no PIN yet, on the page of their own account. Nothing was saved.`;
    case "sign-in-needed":
      return "You are signed out by now. What was typed is kept: sign in again, in another tab, then try again.";
    case "wrong-pin":
      return `That is not the PIN of ${person}. Nothing was saved.`;
    case "same-person":
      return `${person} proposed these limits, so somebody else has to agree. Nothing was saved.`;
    case "too-many-tries":
      return `${sentence(problem.detail)} Nothing was saved.`;
    case "numbers-changed":
      return "The stored runs give other numbers by now than those that were shown. They are drawn anew above: look again, then propose.";
    case "already-agreed":
      return theirs?.agreed == null
        ? "Somebody agreed to this already. Yours was not sent."
        : `${theirs.agreed.by.name} agreed to this on ${when(theirs.agreed.at)}. Yours was not sent.`;
    case "already-withdrawn":
      return theirs?.withdrawn == null
        ? "This was withdrawn already. Yours was not sent."
        : `${theirs.withdrawn.by.name} withdrew this on ${when(theirs.withdrawn.at)}: ${theirs.withdrawn.reason}. Yours was not sent.`;
    case "proposal-stale":
      return "Other limits came into force since this was proposed, so it can no longer be agreed. Propose anew from the Bench.";
    case "settings-changed":
      return `The settings changed since: ${sentence(problem.detail)} Propose anew from the Bench.`;
    default: {
      const where = problem.errors
        ?.map((one) => `${one.place}: expected ${one.expected}, found ${one.found}`)
        .join("; ");
      return `Not ${kind === "propose" ? "proposed" : kind === "agree" ? "agreed" : "withdrawn"}: ${sentence(where ? `${problem.detail}: ${where}` : problem.detail)}`;
    }
  }
}

function sentence(text: string): string {
  return text.endsWith(".") ? text : `${text}.`;
}
