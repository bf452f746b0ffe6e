import type { JSX } from "preact";

/** What could not be read and what happens next. */
export function Trouble(props: {
  readonly what: string;
  readonly why: string;
  readonly refused: boolean;
}): JSX.Element {
  return (
    <section class="note" role="status">
      <h1>{props.what}</h1>
      <p>
        {props.why}. {props.refused ? <a href="/">To the Floor</a> : "Trying again …"}
      </p>
    </section>
  );
}
