import { useSignal } from "@preact/signals";
import { Refused } from "../../client/ask.ts";

export interface Sending {
  readonly busy: boolean;
  /** What went wrong, or was done, in words. */
  readonly said: string;
  send(work: () => Promise<string>): Promise<void>;
}

/** One thing at a time is sent, and what became of it is said. */
export function useSending(): Sending {
  const busy = useSignal(false);
  const said = useSignal("");
  return {
    busy: busy.value,
    said: said.value,
    send: async (work) => {
      if (busy.peek()) return;
      busy.value = true;
      said.value = "";
      try {
        said.value = (await work()) ?? "";
      } catch (cause) {
        said.value = wordsOf(cause);
      } finally {
        busy.value = false;
      }
    },
  };
}

function wordsOf(cause: unknown): string {
  if (!(cause instanceof Refused)) {
    return `Not done, as far as is known: ${cause instanceof Error ? cause.message : "server did not answer"}. Try again.`;
  }
  const { detail, errors } = cause.problem;
  if (errors === undefined) return `Not done: ${detail}.`;
  return `Not done. ${errors.map(({ place, found, expected }) => `${placeWord(place)}: ${found}; expected ${expected}`).join(". ")}.`;
}

/** `body/newPassword` as people say it. */
function placeWord(place: string): string {
  const last = place.split("/").at(-1) ?? place;
  const words = last.replaceAll(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
  return `${words[0]?.toUpperCase() ?? ""}${words.slice(1)}`.replace(/\bpin\b/i, "PIN");
}
