import { type Signal, useSignal } from "@preact/signals";
import type { WireProblem } from "../../../api/contract/wire.ts";
import { ask, Refused } from "../../client/ask.ts";

/** How an entry stands, from the press to the answer. What was typed stays on the page until it is written. */
export type EntryState =
  | { readonly step: "typing" }
  | { readonly step: "sending" }
  /** The server asks whether a value is so. */
  | { readonly step: "asked"; readonly doubts: readonly string[] }
  | { readonly step: "said"; readonly words: string };

export interface Entry<T> {
  readonly state: Signal<EntryState>;
  /** Sends; `sure` answers a doubt, where there can be one. Null where it was not written. */
  send(body: Readonly<Record<string, unknown>>, sure?: boolean): Promise<T | null>;
}

/** Sending twice writes once, so a try without an answer may simply be made again. */
export function useEntry<T>(path: string): Entry<T> {
  const state = useSignal<EntryState>({ step: "typing" });
  return {
    state,
    send: async (body, sure) => {
      state.value = { step: "sending" };
      try {
        const answer = await ask<T>(path, sure === undefined ? body : { ...body, sure });
        state.value = { step: "typing" };
        return answer;
      } catch (cause) {
        state.value = cause instanceof Refused ? refusal(cause.problem) : unanswered(cause);
        return null;
      }
    },
  };
}

function refusal({ code, detail, errors }: WireProblem): EntryState {
  if (code === "implausible" && errors !== undefined) {
    return { step: "asked", doubts: errors.map(({ found, expected }) => `${found}, expected ${plain(expected)}`) };
  }
  return { step: "said", words: `Not written: ${detail}.` };
}

/** The answer that a program would send is no word for a person. */
function plain(expected: string): string {
  return expected.replace(/, or sure: true.*$/, "");
}

function unanswered(cause: unknown): EntryState {
  const why = cause instanceof Error ? cause.message : "server did not answer";
  return { step: "said", words: `Not written, as far as is known: ${why}. Press again; it is written only once.` };
}
