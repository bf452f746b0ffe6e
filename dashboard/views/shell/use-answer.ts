import { type Signal, useSignal } from "@preact/signals";
import { useCallback, useEffect } from "preact/hooks";
import { ask, Refused } from "../../client/ask.ts";

export interface Answer<T> {
  readonly value: T | null;
  /** Why there is no newer one, in words; null while all is well. */
  readonly trouble: string | null;
  /** The server said no: asking again is no use. */
  readonly refused: boolean;
}

export interface Asked<T> {
  readonly answer: Signal<Answer<T>>;
  readonly again: () => void;
}

const retryMs = 3_000;

/** Asks for one resource, nothing for null, and where the server does not answer, asks on; what came before stays meanwhile. */
export function useAnswer<T>(path: string | null): Asked<T> {
  const answer = useSignal<Answer<T>>({ value: null, trouble: null, refused: false });
  const round = useSignal(0);
  useEffect(() => {
    if (path === null) return;
    let over = false;
    let timer = 0;
    const load = async (): Promise<void> => {
      try {
        const value = await ask<T>(path);
        if (!over) answer.value = { value, trouble: null, refused: false };
      } catch (cause) {
        if (over) return;
        const refused = cause instanceof Refused;
        const trouble = cause instanceof Error ? cause.message : "server did not answer";
        answer.value = { value: answer.peek().value, trouble, refused };
        if (!refused) timer = window.setTimeout(() => void load(), retryMs);
      }
    };
    void load();
    return () => {
      over = true;
      clearTimeout(timer);
    };
  }, [path, round.value, answer]);
  const again = useCallback(() => {
    round.value = round.peek() + 1;
  }, [round]);
  return { answer, again };
}
