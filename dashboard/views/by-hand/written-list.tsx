import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import { useRef } from "preact/hooks";
import type { WirePeople } from "../../../api/contract/bench-wire.ts";
import type { WireHandField, WireWritten } from "../../../api/contract/hand-wire.ts";
import { paths } from "../../client/paths.ts";
import { remember } from "../../client/person.ts";
import { pictureMinuteMs } from "../../client/picture-store.ts";
import { mayTry } from "../../client/session.ts";
import { inputName, readFields, standing } from "../../model/hand-words.ts";
import { figure } from "../../model/numbers.ts";
import { siteTimes } from "../../model/times.ts";
import { ChoosePerson, firstChosen, PinField, signatureOf } from "../people/who-signs.tsx";
import { useAnswer } from "../shell/use-answer.ts";
import { EntryWords } from "./entry-words.tsx";
import { useEntry } from "./use-entry.ts";
import { WrittenWords } from "./written-words.tsx";

const right = "write-values";

/** What was written down at one station, newest first; what was corrected shows both. */
export function WrittenList(props: {
  readonly items: readonly WireWritten[] | null;
  readonly trouble: string | null;
  readonly fields: readonly WireHandField[];
  readonly zone: string;
  readonly corrected: () => void;
}): JSX.Element {
  return (
    <section class="written" aria-labelledby="written">
      <h2 id="written">Written down</h2>
      {props.trouble === null ? null : <p role="status">Not the newest: {props.trouble}. Trying again …</p>}
      {props.items === null ? null : props.items.length === 0 ? <p>Nothing yet at this station.</p> : null}
      <ul>
        {(props.items ?? []).map((item) => (
          <Written key={item.id} item={item} {...props} />
        ))}
      </ul>
    </section>
  );
}

function Written(props: {
  readonly item: WireWritten;
  readonly fields: readonly WireHandField[];
  readonly zone: string;
  readonly corrected: () => void;
}): JSX.Element {
  const { item, zone } = props;
  const open = useSignal(false);
  const field = props.fields.find(({ feature }) => feature === item.feature) ?? null;
  return (
    <li data-written={item.id}>
      <WrittenWords item={item} field={field} zone={zone} linked />
      {field === null || !mayTry(right) ? null : open.value ? (
        <Correction
          {...{ item, field }}
          close={() => (open.value = false)}
          saved={() => {
            open.value = false;
            props.corrected();
          }}
        />
      ) : (
        <button type="button" class="plain small" onClick={() => (open.value = true)}>
          Correct …
          <span class="unseen">
            {" "}
            {field.name} of {siteTimes(props.zone).near(Date.parse(item.takenAt), pictureMinuteMs.value)}
          </span>
        </button>
      )}
    </li>
  );
}

/** Other values, with the reason. The point that was judged stays where it is on the chart. */
function Correction(props: {
  readonly item: WireWritten;
  readonly field: WireHandField;
  readonly saved: () => void;
  readonly close: () => void;
}): JSX.Element {
  const { item } = props;
  const { values } = standing(item);
  const field = { ...props.field, values: values.length, unit: item.unit };
  const entry = useEntry<WireWritten>(paths.correctWritten(item.id));
  const form = useRef<HTMLFormElement>(null);
  const chosen = useSignal<string | null>(null);
  const people = useAnswer<WirePeople>(paths.people);
  const signs = chosen.value ?? firstChosen(right);
  const known = people.answer.value.value?.items ?? [];
  const send = async (sure: boolean): Promise<void> => {
    if (form.current === null || entry.state.peek().step === "sending") return;
    const given = new FormData(form.current);
    const text = (name: string): string => String(given.get(name) ?? "").trim();
    const read = readFields([field], text);
    const numbers = read.values[0]?.values ?? [];
    if (read.mistakes.size > 0 || numbers.length !== values.length) {
      const words = [...read.mistakes.values()][0] ?? "Every value, as many as were written";
      entry.state.value = { step: "said", words: `${words}.` };
      return;
    }
    if (text("reason") === "") {
      entry.state.value = { step: "said", words: "A reason, not only spaces." };
      return;
    }
    const signature = signatureOf(given, right);
    if (signature.by !== undefined) remember(signature.by);
    const answer = await entry.send({ ...signature, values: numbers, reason: text("reason") }, sure);
    if (answer !== null) props.saved();
  };
  return (
    <form
      class="correction"
      ref={form}
      onSubmit={(event) => {
        event.preventDefault();
        void send(false);
      }}
      onKeyDown={(event) => {
        if (event.key === "Escape") props.close();
      }}
    >
      <div class="inputs">
        {values.map((value, nth) => (
          <input
            key={inputName(field.feature, nth)}
            name={inputName(field.feature, nth)}
            inputMode="decimal"
            autocomplete="off"
            aria-label={`${field.name} ${nth + 1}`}
            defaultValue={figure(value, field.digits).replace("\u2212", "-")}
          />
        ))}
      </div>
      <label>
        Why
        <input name="reason" required maxLength={300} autocomplete="off" />
      </label>
      <ChoosePerson known={known} right={right} chosen={signs} choose={(id) => (chosen.value = id)} />
      <PinField right={right} chosen={signs} />
      <EntryWords
        state={entry.state.value}
        sure={() => void send(true)}
        change={() => (entry.state.value = { step: "typing" })}
      />
      <p class="light">
        What was written stays to be read, and a point that was judged stays as it was judged. Where it made a flag,
        close that flag with the cause.
      </p>
      <div class="buttons">
        <button type="submit" class="strong">
          Correct
        </button>
        <button type="button" class="plain" onClick={props.close}>
          Not now
        </button>
      </div>
    </form>
  );
}
