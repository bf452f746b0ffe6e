import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { type Right, rightsOf } from "../../../api/contract/access.ts";
import type { WirePeople, WireProposal } from "../../../api/contract/bench-wire.ts";
import { ask, Refused } from "../../client/ask.ts";
import { paths } from "../../client/paths.ts";
import { remember } from "../../client/person.ts";
import { mayTry } from "../../client/session.ts";
import { refusedWords, type SignedKind } from "../../model/limits-words.ts";
import { siteTimes } from "../../model/times.ts";
import { RefusedControl } from "../people/refused-control.tsx";
import { ChoosePerson, firstChosen, ownName, PinField, signatureOf } from "../people/who-signs.tsx";
import { useAnswer } from "../shell/use-answer.ts";

export interface SignedFormProps {
  readonly kind: SignedKind;
  readonly path: string;
  /** All but who signs, and why. */
  readonly body: Readonly<Record<string, unknown>>;
  /** What the reason is asked as; null where none is. */
  readonly reason: string | null;
  readonly button: string;
  /** The proposal decided about, to show what became of it in a conflict. */
  readonly about: string | null;
  readonly zone: string;
  readonly saved: (proposal: WireProposal) => void;
  readonly refused?: (code: string) => void;
  readonly close: () => void;
}

const rightFor: Readonly<Record<SignedKind, Right>> = {
  propose: "propose-limits",
  agree: "agree-limits",
  withdraw: "withdraw-limits",
};

type Step = { readonly step: "typing" | "sending" } | { readonly step: "said"; readonly words: string };

/** A decision that a person signs with a PIN. Whatever goes wrong is said here and what was typed stays, but the PIN. */
export function SignedForm(props: SignedFormProps): JSX.Element {
  const right = rightFor[props.kind];
  const people = useAnswer<WirePeople>(mayTry(right) ? paths.people : null);
  const chosen = useSignal(firstChosen(right));
  const state = useSignal<Step>({ step: "typing" });
  const form = useRef<HTMLFormElement>(null);
  const known = people.answer.value.value?.items ?? null;
  const ready = known !== null;
  useEffect(() => {
    if (ready) form.current?.querySelector<HTMLElement>("select, textarea")?.focus();
  }, [ready]);
  if (!mayTry(right)) {
    return (
      <div class="signed-form" data-signed="refused">
        <RefusedControl right={right} words={props.button} strong />
        <button type="button" class="plain" onClick={props.close}>
          Not now
        </button>
      </div>
    );
  }
  if (known === null) {
    return <p class="signed-form">{people.answer.value.trouble ?? "Asking who may sign"} …</p>;
  }
  const others = known.filter(
    ({ id, role, hasPin }) => id !== ownName(right)?.id && hasPin && rightsOf[role].includes(right),
  );
  if (others.length === 0 && ownName(right) === null) {
    return (
      <div class="signed-form" data-signed="nobody">
        <p role="status">
          Nobody who may do this has chosen a PIN, so nobody can sign here. Each one chooses theirs on the page of their
          own account.
        </p>
        <button type="button" class="plain" onClick={props.close}>
          Not now
        </button>
      </div>
    );
  }
  const send = async (given: FormData): Promise<void> => {
    const by = String(given.get("by") ?? "");
    const signature = signatureOf(given, right);
    const reason = String(given.get("reason") ?? "").trim();
    state.value = { step: "sending" };
    try {
      const body = { ...props.body, ...signature, ...(props.reason === null ? {} : { reason }) };
      const answer = await ask<WireProposal>(props.path, body);
      state.value = { step: "typing" };
      if (signature.by !== undefined) remember(signature.by);
      props.saved(answer);
    } catch (cause) {
      const name = known.find(({ id }) => id === by)?.name ?? by;
      state.value = { step: "said", words: await wordsOf(cause, name) };
      if (cause instanceof Refused) props.refused?.(cause.problem.code);
    } finally {
      // A PIN is typed for one try, and never kept for the next.
      const field = form.current?.querySelector<HTMLInputElement>("input[name=pin]");
      if (field) {
        field.value = "";
        if (state.peek().step === "said") field.focus();
      }
    }
  };
  const wordsOf = async (cause: unknown, name: string): Promise<string> => {
    if (!(cause instanceof Refused)) {
      const why = cause instanceof Error ? cause.message : "server did not answer";
      return `Not saved, as far as is known: ${why}. All but the PIN is kept: type it again to try again; nothing is saved twice.`;
    }
    const conflict = /^(already|proposal)-/.test(cause.problem.code) && props.about !== null;
    const theirs = conflict
      ? await ask<WireProposal>(paths.proposal(props.about!)).catch(() => null) // the refusal is told without theirs
      : null;
    return refusedWords(cause.problem, { person: name, kind: props.kind, theirs, times: siteTimes(props.zone) });
  };
  const sending = state.value.step === "sending";
  return (
    <form
      class="signed-form"
      ref={form}
      data-signed={props.kind}
      onSubmit={(event) => {
        event.preventDefault();
        if (!sending) void send(new FormData(event.currentTarget));
      }}
      onKeyDown={(event) => {
        if (event.key === "Escape") props.close();
      }}
    >
      <ChoosePerson known={known} right={right} chosen={chosen.value} choose={(id) => (chosen.value = id)} />
      {props.reason === null ? null : (
        <label class="wide">
          {props.reason}
          <textarea name="reason" rows={2} required maxLength={500} />
        </label>
      )}
      <PinField right={right} chosen={chosen.value} />
      <div class="buttons">
        <button type="submit" class="strong" aria-disabled={sending}>
          {sending ? "sending …" : props.button}
        </button>
        <button type="button" class="plain" onClick={props.close}>
          Not now
        </button>
      </div>
      {state.value.step === "said" ? (
        <p class="said" role="alert">
          {state.value.words}
        </p>
      ) : props.kind === "agree" && others.length === 0 ? (
        <p class="light">Nobody else who may agree has a PIN: a second person signs in at their own browser.</p>
      ) : null}
    </form>
  );
}
