import { useSignal } from "@preact/signals";
import { useCallback, useEffect } from "preact/hooks";
import { ask, Refused } from "../../client/ask.ts";

export interface Posted<T> {
  /** The newest answer, also to the question before while `asking`. */
  readonly value: T | null;
  /** A newer answer is on its way; what is shown is of the question before. */
  readonly asking: boolean;
  readonly trouble: string | null;
  readonly refused: boolean;
}

interface Answered<T> extends Posted<T> {
  /** The question that `value` answers, and the one that `trouble` is about. */
  readonly of: string | null;
  readonly tried: string | null;
}

const nothing = { of: null, tried: null, value: null, asking: false, trouble: null, refused: false } as const;

const retryMs = 3_000;

/**
 * Asks a question that needs a body and changes nothing. A new body is a new question; the former answer stays
 * meanwhile. Null asks nothing.
 */
export function usePosted<T>(path: string, body: unknown): { readonly answer: Posted<T>; readonly again: () => void } {
  const text = body === null ? null : JSON.stringify(body);
  const answer = useSignal<Answered<T>>(nothing);
  const round = useSignal(0);
  useEffect(() => {
    let over = false;
    let timer = 0;
    const load = async (): Promise<void> => {
      if (text === null) {
        answer.value = nothing;
        return;
      }
      answer.value = { ...answer.peek(), asking: true };
      try {
        const value = await ask<T>(path, JSON.parse(text));
        if (!over) answer.value = { ...nothing, of: text, value };
      } catch (cause) {
        if (over) return;
        const refused = cause instanceof Refused;
        const where = refused
          ? cause.problem.errors?.map((one) => `${one.place}: expected ${one.expected}`)
          : undefined;
        const said = cause instanceof Error ? cause.message : "server did not answer";
        const trouble = where === undefined || where.length === 0 ? said : `${said}: ${where.join("; ")}`;
        // An answer to another question must not stand under this one once it was refused. Without an answer the former
        // one stays, and is known to be of another question.
        answer.value = refused
          ? { ...nothing, of: text, tried: text, trouble, refused }
          : { ...answer.peek(), asking: true, tried: text, trouble, refused };
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
  const { of, tried, value, asking, trouble, refused } = answer.value;
  const here = tried === text;
  return {
    answer: { value, asking: asking || of !== text, trouble: here ? trouble : null, refused: here && refused },
    again,
  };
}
