import { type ReadonlySignal, useSignal } from "@preact/signals";
import { useCallback, useEffect } from "preact/hooks";
import { ask, Refused } from "../../client/ask.ts";

export interface Posted<T> {
  readonly value: T | null;
  /** A newer answer is on its way; what is shown is of the question before. */
  readonly asking: boolean;
  readonly trouble: string | null;
  readonly refused: boolean;
}

const retryMs = 3_000;

/**
 * Asks a question that needs a body and changes nothing. A new body is a new question; the former answer stays
 * meanwhile. Null asks nothing.
 */
export function usePosted<T>(
  path: string,
  body: unknown,
): { readonly answer: ReadonlySignal<Posted<T>>; readonly again: () => void } {
  const answer = useSignal<Posted<T>>({ value: null, asking: body !== null, trouble: null, refused: false });
  const round = useSignal(0);
  const text = body === null ? null : JSON.stringify(body);
  useEffect(() => {
    let over = false;
    let timer = 0;
    const load = async (): Promise<void> => {
      if (text === null) {
        answer.value = { value: null, asking: false, trouble: null, refused: false };
        return;
      }
      answer.value = { ...answer.peek(), asking: true };
      try {
        const value = await ask<T>(path, JSON.parse(text));
        if (!over) answer.value = { value, asking: false, trouble: null, refused: false };
      } catch (cause) {
        if (over) return;
        const refused = cause instanceof Refused;
        const where = refused
          ? cause.problem.errors?.map((one) => `${one.place}: expected ${one.expected}`)
          : undefined;
        const said = cause instanceof Error ? cause.message : "server did not answer";
        const trouble = where === undefined || where.length === 0 ? said : `${said}: ${where.join("; ")}`;
        // An answer to another question must not stand under this one once it was refused.
        answer.value = { value: refused ? null : answer.peek().value, asking: false, trouble, refused };
        if (!refused) timer = window.setTimeout(() => void load(), retryMs);
      }
    };
    void load();
    return () => {
      over = true;
      clearTimeout(timer);
    };
  }, [path, text, round.value, answer]);
  const again = useCallback(() => {
    round.value = round.peek() + 1;
  }, [round]);
  return { answer, again };
}
