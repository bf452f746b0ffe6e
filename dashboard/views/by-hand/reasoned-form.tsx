import { useSignal } from "@preact/signals";
import type { ComponentChildren, JSX } from "preact";
import { useRef } from "preact/hooks";
import type { Right } from "../../../api/contract/access.ts";
import type { WirePeople } from "../../../api/contract/bench-wire.ts";
import { paths } from "../../client/paths.ts";
import { remember } from "../../client/person.ts";
import { ChoosePerson, firstChosen, PinField, signatureOf } from "../people/who-signs.tsx";
import { useAnswer } from "../shell/use-answer.ts";
import { EntryWords } from "./entry-words.tsx";
import { useEntry } from "./use-entry.ts";

/** What is sent beside reason and signature, or what is wrong with what was typed. */
export type Asked = Readonly<Record<string, unknown>> | string;
type Text = (name: string) => string;

/** Something that stands already is changed: with a reason, by a person, and Escape leaves it as it is. */
export function ReasonedForm<T>(props: {
  readonly class: "correction" | "ask-again";
  readonly path: string;
  readonly right: Right;
  readonly submit: string;
  readonly read: (text: Text) => Asked;
  /** A second way to end it, beside `submit`. */
  readonly instead?: { readonly words: string; readonly read: (text: Text) => Asked };
  /** The server may ask whether a value is so. */
  readonly doubtful?: boolean;
  readonly note: string;
  readonly done: (answer: T) => void;
  readonly close: () => void;
  readonly children: ComponentChildren;
}): JSX.Element {
  const { right, instead } = props;
  const entry = useEntry<T>(props.path);
  const form = useRef<HTMLFormElement>(null);
  const chosen = useSignal<string | null>(null);
  const people = useAnswer<WirePeople>(paths.people);
  const signs = chosen.value ?? firstChosen(right);
  const sending = entry.state.value.step === "sending";

  const send = async (read: (text: Text) => Asked, sure: boolean): Promise<void> => {
    const at = form.current;
    if (at === null || entry.state.peek().step === "sending" || !at.reportValidity()) return;
    const given = new FormData(at);
    const text: Text = (name) => String(given.get(name) ?? "").trim();
    const asked = text("reason") === "" ? "A reason, not only spaces." : read(text);
    if (typeof asked === "string") {
      entry.state.value = { step: "said", words: asked };
      return;
    }
    const signature = signatureOf(given, right);
    if (signature.by !== undefined) remember(signature.by);
    const body = { ...signature, ...asked, reason: text("reason") };
    const answer = await entry.send(body, props.doubtful === true ? sure : undefined);
    if (answer !== null) props.done(answer);
  };
  return (
    <form
      class={props.class}
      ref={form}
      onSubmit={(event) => {
        event.preventDefault();
        void send(props.read, false);
      }}
      onKeyDown={(event) => {
        if (event.key === "Escape") props.close();
      }}
    >
      {props.children}
      <label>
        Why
        <input name="reason" required maxLength={300} autocomplete="off" />
      </label>
      <ChoosePerson
        known={people.answer.value.value?.items ?? []}
        right={right}
        chosen={signs}
        choose={(id) => (chosen.value = id)}
      />
      <PinField right={right} chosen={signs} />
      <EntryWords
        state={entry.state.value}
        sure={() => void send(props.read, true)}
        change={() => (entry.state.value = { step: "typing" })}
      />
      <p class="light">{props.note}</p>
      <div class="buttons">
        <button type="submit" class="strong" aria-disabled={sending}>
          {sending ? "sending …" : props.submit}
        </button>
        {instead === undefined ? null : (
          <button type="button" class="plain" onClick={() => void send(instead.read, false)}>
            {instead.words}
          </button>
        )}
        <button type="button" class="plain" onClick={props.close}>
          Not now
        </button>
      </div>
    </form>
  );
}
