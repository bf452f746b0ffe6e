import type { JSX } from "preact";
import type { WireFlag } from "../../api/contract/wire.ts";
import { flagLetter } from "../model/flag-words.ts";

/** The ring round a point that a signal used, in the manner of its flag's label. */
export function Ring(props: {
  readonly x: number;
  readonly y: number;
  readonly r: number;
  readonly label: WireFlag["label"];
}): JSX.Element {
  const { x, y, r, label } = props;
  const letter = flagLetter(label);
  return (
    <g class={`ring ring-${letter}`}>
      <circle class="rim" cx={x} cy={y} r={r} />
      {letter === "L" ? <circle class="core" cx={x} cy={y} r={r} /> : null}
      <circle class="dot" cx={x} cy={y} r={r * 0.45} />
    </g>
  );
}
