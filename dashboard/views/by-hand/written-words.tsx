import type { JSX } from "preact";
import type { WireHandField, WireWritten } from "../../../api/contract/hand-wire.ts";
import { pages } from "../../client/paths.ts";
import { pictureMinuteMs } from "../../client/picture-store.ts";
import { contextWords, standing, valuesWords } from "../../model/hand-words.ts";
import { siteTimes } from "../../model/times.ts";

/** What is known of a feature where its values are shown. */
export type ShownField = Pick<WireHandField, "name" | "digits" | "reference" | "quantity">;

/** One entry: the values that hold, who wrote them and when, and what stood there before. */
export function WrittenWords(props: {
  readonly item: WireWritten;
  readonly field: ShownField | null;
  readonly zone: string;
  /** Leads to the run that was measured, or to the first that the entry made. */
  readonly linked: boolean;
}): JSX.Element {
  const { item, field, zone } = props;
  const times = siteTimes(zone);
  const when = (at: string): string => times.near(Date.parse(at), pictureMinuteMs.value);
  const shown = { digits: 3, reference: null, quantity: "", ...field, unit: item.unit };
  const words = (values: readonly number[]): string => valuesWords(values, shown);
  const { values, before } = standing(item);
  const context = contextWords(item.context);
  const run = item.ofRun ?? item.runs[0];
  return (
    <>
      <p>
        {props.linked && run !== undefined ? <a href={pages.run(run)}>{when(item.takenAt)}</a> : when(item.takenAt)}{" "}
        {field?.name ?? item.feature} <b>{words(values)}</b>
        {context === "" ? null : <span class="light"> {context}</span>}
        <span class="light"> {item.by}</span>
      </p>
      {item.late ? <p class="light">Written late, at {when(item.writtenAt)}: it sent no message.</p> : null}
      {item.note === "" ? null : <p class="light">{item.note}</p>}
      {item.corrections.map((one, nth) => (
        <p class="light" key={one.at}>
          <del>{words(before[nth]!)}</del> corrected by {one.by} at {when(one.at)}: {one.reason}
        </p>
      ))}
    </>
  );
}
