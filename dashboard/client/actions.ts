import { type Signal, signal } from "@preact/signals";
import type { WireFlag } from "../../api/contract/wire.ts";
import { ask, Refused } from "./ask.ts";
import { paths } from "./paths.ts";
import { clockMs, flagAnswered } from "./picture-store.ts";

export type ActionKind = "take" | "done";

/** Who acts: whom the session says, or a person with the PIN they gave. */
export interface Signer {
  readonly name: string;
  readonly signature: { readonly by?: string; readonly pin?: string };
}

export interface DoneWords {
  readonly cause: string;
  readonly note: string;
}

/** How an action on a flag stands, from the press to the answer. */
export type ActionState =
  | { readonly step: "sending"; readonly kind: ActionKind; readonly by: string }
  | {
      readonly step: "unanswered";
      readonly kind: ActionKind;
      readonly by: string;
      readonly retryAtMs: number;
      readonly why: string;
    }
  | { readonly step: "refused"; readonly kind: ActionKind; readonly why: string }
  | { readonly step: "conflict"; readonly kind: ActionKind; readonly theirs: WireFlag }
  | { readonly step: "saved"; readonly kind: ActionKind };

export const actions: Signal<ReadonlyMap<string, ActionState>> = signal(new Map());

const retryMs = 5_000;
const timers = new Map<string, number>();

export function take(flag: string, by: Signer): void {
  void send(flag, "take", by, null);
}

export function done(flag: string, by: Signer, words: DoneWords): void {
  void send(flag, "done", by, words);
}

/** The last unanswered action once more, now. */
const again = new Map<string, () => void>();

export function retryNow(flag: string): void {
  again.get(flag)?.();
}

async function send(flag: string, kind: ActionKind, signer: Signer, words: DoneWords | null): Promise<void> {
  if (actions.value.get(flag)?.step === "sending") return;
  const { name: by, signature } = signer;
  clearTimeout(timers.get(flag));
  put(flag, { step: "sending", kind, by });
  try {
    const answer = await ask<WireFlag>(kind === "take" ? paths.take(flag) : paths.done(flag), {
      ...signature,
      ...words,
    });
    again.delete(flag);
    flagAnswered(answer);
    put(flag, { step: "saved", kind });
  } catch (cause) {
    if (cause instanceof Refused) {
      refused(flag, kind, cause);
      return;
    }
    const repeat = (): void => void send(flag, kind, signer, words);
    again.set(flag, repeat);
    const why = cause instanceof Error ? cause.message : "server did not answer";
    put(flag, { step: "unanswered", kind, by, why, retryAtMs: clockMs.value + retryMs });
    timers.set(flag, window.setTimeout(repeat, retryMs));
  }
}

function refused(flag: string, kind: ActionKind, { problem }: Refused): void {
  again.delete(flag);
  if (problem.flag === undefined) {
    const where = problem.errors?.map((one) => `${one.place}: expected ${one.expected}, found ${one.found}`).join("; ");
    put(flag, { step: "refused", kind, why: where ? `${problem.detail}: ${where}` : problem.detail });
    return;
  }
  flagAnswered(problem.flag);
  put(flag, { step: "conflict", kind, theirs: problem.flag });
}

function put(flag: string, state: ActionState): void {
  actions.value = new Map(actions.value).set(flag, state);
}
