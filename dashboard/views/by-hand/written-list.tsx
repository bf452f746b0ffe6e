import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import type { WireHandField, WireWritten } from "../../../api/contract/hand-wire.ts";
import { paths } from "../../client/paths.ts";
import { pictureMinuteMs } from "../../client/picture-store.ts";
import { mayTry } from "../../client/session.ts";
import { inputName, readFields, standing } from "../../model/hand-words.ts";
import { figure } from "../../model/numbers.ts";
import { siteTimes } from "../../model/times.ts";
import { ReasonedForm } from "./reasoned-form.tsx";
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
  return (
    <ReasonedForm<WireWritten>
      class="correction"
      path={paths.correctWritten(item.id)}
      right={right}
      submit="Correct"
      doubtful
      note="What was written stays to be read, and a point that was judged stays as it was judged. Where it made a flag, close that flag with the cause."
      read={(text) => {
        const read = readFields([field], text);
        const numbers = read.values[0]?.values ?? [];
        if (read.mistakes.size === 0 && numbers.length === values.length) return { values: numbers };
        return `${[...read.mistakes.values()][0] ?? "Every value, as many as were written"}.`;
      }}
      done={props.saved}
      close={props.close}
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
    </ReasonedForm>
  );
}
