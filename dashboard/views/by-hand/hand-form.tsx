import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import { useRef } from "preact/hooks";
import type { WirePeople } from "../../../api/contract/bench-wire.ts";
import type { WireHandField, WireWritten } from "../../../api/contract/hand-wire.ts";
import { paths } from "../../client/paths.ts";
import { remember } from "../../client/person.ts";
import { clockMs } from "../../client/picture-store.ts";
import { mayTry } from "../../client/session.ts";
import { fromField } from "../../model/bench-zoned.ts";
import { readFields, valuesWords } from "../../model/hand-words.ts";
import { RefusedControl } from "../people/refused-control.tsx";
import { ChoosePerson, firstChosen, PinField, signatureOf } from "../people/who-signs.tsx";
import { useAnswer } from "../shell/use-answer.ts";
import { EntryWords } from "./entry-words.tsx";
import { HandField } from "./hand-field.tsx";
import { useEntry } from "./use-entry.ts";
import { WhenFields } from "./when-fields.tsx";

const right = "write-values";

/** All fields of one station. A field left empty was not measured. */
export function HandForm(props: {
  readonly station: string;
  readonly fields: readonly WireHandField[];
  readonly zone: string;
  readonly written: () => void;
}): JSX.Element {
  const { station, fields, zone } = props;
  const entry = useEntry<{ readonly items: readonly WireWritten[] }>(paths.handBook);
  const form = useRef<HTMLFormElement>(null);
  const earlier = useSignal(false);
  const done = useSignal("");
  const chosen = useSignal<string | null>(null);
  const people = useAnswer<WirePeople>(mayTry(right) ? paths.people : null);
  const parts = [...new Set(fields.flatMap((field) => field.parts))];
  const byPart = fields.some((field) => field.byPart);

  const send = async (sure: boolean): Promise<void> => {
    const at = form.current;
    if (at === null || entry.state.peek().step === "sending") return;
    const given = new FormData(at);
    const text = (name: string): string => String(given.get(name) ?? "").trim();
    const { values, mistakes } = readFields(fields, text);
    for (const [name, words] of mistakes) {
      said(at, name, words);
      return;
    }
    if (values.length === 0) {
      entry.state.value = { step: "said", words: "Nothing to write: every field is empty." };
      return;
    }
    const takenAt = earlier.value ? fromField(text("taken"), zone) : new Date(clockMs.value).toISOString();
    if (takenAt === null) return said(at, "taken", "A day and a time");
    const signature = signatureOf(given, right);
    const context = Object.fromEntries(["part", "lot"].flatMap((key) => (text(key) === "" ? [] : [[key, text(key)]])));
    const body = { station, ...signature, takenAt, context, note: text("note"), values };
    const answer = await entry.send(body, sure);
    if (answer === null) return;
    done.value = `Written: ${answer.items.map((item) => itemWords(item, fields)).join("; ")}.`;
    if (signature.by !== undefined) remember(signature.by);
    at.reset();
    earlier.value = false;
    props.written();
    at.querySelector<HTMLElement>("input")?.focus();
  };
  if (!mayTry(right)) return <RefusedControl right={right} words="Write down" strong />;
  const signs = chosen.value ?? firstChosen(right);
  const known = people.answer.value.value?.items ?? [];
  const sending = entry.state.value.step === "sending";
  return (
    <form
      class="hand-form"
      ref={form}
      onSubmit={(event) => {
        event.preventDefault();
        void send(false);
      }}
      onInput={(event) => {
        if (event.target instanceof HTMLInputElement) event.target.setCustomValidity("");
        done.value = "";
        if (!sending) entry.state.value = { step: "typing" };
      }}
    >
      {fields.map((field) => (
        <HandField key={field.feature} field={field} />
      ))}
      {byPart ? (
        <label>
          Part
          <input name="part" required list="hand-parts" maxLength={60} autocomplete="off" />
          <datalist id="hand-parts">
            {parts.map((part) => (
              <option key={part} value={part} />
            ))}
          </datalist>
        </label>
      ) : null}
      <label>
        Lot or batch, if it has one
        <input name="lot" maxLength={60} autocomplete="off" />
      </label>
      <WhenFields
        legend="When it was taken"
        name="taken"
        earlier={earlier.value}
        zone={zone}
        choose={(chosenEarlier) => (earlier.value = chosenEarlier)}
      />
      <ChoosePerson known={known} right={right} chosen={signs} choose={(id) => (chosen.value = id)} />
      <PinField right={right} chosen={signs} />
      <label class="wide">
        Note
        <input name="note" maxLength={500} autocomplete="off" />
      </label>
      <EntryWords
        state={entry.state.value}
        sure={() => void send(true)}
        change={() => {
          entry.state.value = { step: "typing" };
          form.current?.querySelector<HTMLElement>("input")?.focus();
        }}
      />
      <div class="buttons">
        <button type="submit" class="strong" aria-disabled={sending}>
          {sending ? "sending …" : "Write down"}
        </button>
      </div>
      <p class="done" role="status">
        {done.value}
      </p>
    </form>
  );
}

function said(form: HTMLFormElement, name: string, words: string): void {
  const field = form.elements.namedItem(name);
  if (!(field instanceof HTMLInputElement)) return;
  field.setCustomValidity(words);
  field.reportValidity();
}

function itemWords(item: WireWritten, fields: readonly WireHandField[]): string {
  const field = fields.find(({ feature }) => feature === item.feature);
  return field === undefined ? item.feature : `${field.name} ${valuesWords(item.values, field)}`;
}
