import type { JSX } from "preact";
import type { EntryState } from "./use-entry.ts";

/** What became of an entry, with the question that a doubtful value puts. */
export function EntryWords(props: {
  readonly state: EntryState;
  readonly sure: () => void;
  readonly change: () => void;
}): JSX.Element | null {
  const { state } = props;
  if (state.step === "said") {
    return (
      <p class="said" role="alert">
        {state.words}
      </p>
    );
  }
  if (state.step !== "asked") return null;
  return (
    <div class="asked" role="alert">
      <p>
        <b>Is it so?</b> Nothing is written yet.
      </p>
      <ul>
        {state.doubts.map((doubt) => (
          <li key={doubt}>{doubt}</li>
        ))}
      </ul>
      <div class="buttons">
        <button type="button" class="plain" onClick={props.change}>
          No, change it
        </button>
        <button type="button" class="plain" onClick={props.sure}>
          Yes, it is so
        </button>
      </div>
    </div>
  );
}
