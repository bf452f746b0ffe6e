import type { JSX } from "preact";

/** The ends of the trial's window at the point under the cursor: for keyboard and pointer alike. */
export function WindowHere(props: {
  readonly name: string;
  readonly begin: () => void;
  readonly end: () => void;
}): JSX.Element {
  return (
    <fieldset class="window-here">
      <legend class="unseen">Window for the trial, at {props.name}</legend>
      <button type="button" class="plain small" onClick={props.begin}>
        Window begins here
      </button>
      <button type="button" class="plain small" onClick={props.end}>
        Window ends here
      </button>
    </fieldset>
  );
}
