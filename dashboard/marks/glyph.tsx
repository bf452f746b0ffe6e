import type { JSX } from "preact";
import type { WireFlag } from "../../api/contract/wire.ts";
import { flagLetter, type Letter } from "../model/flag-words.ts";

const size = 30;

/** A flag's mark: shape and letter carry the meaning, colour only speeds it up. */
export function Glyph({ label, px = size }: { readonly label: WireFlag["label"]; readonly px?: number }): JSX.Element {
  const letter = flagLetter(label);
  return (
    <svg class={`glyph glyph-${letter}`} width={px} height={px} viewBox="0 0 30 30" aria-hidden="true">
      <Shape letter={letter} />
      <text x="15" y="20.2" text-anchor="middle" font-size="15">
        {letter}
      </text>
    </svg>
  );
}

function Shape({ letter }: { readonly letter: Letter }): JSX.Element {
  if (letter === "A") return <path class="fill" d="M15,0L30,15L15,30L0,15Z" />;
  if (letter === "L") {
    return (
      <>
        <rect class="ground" x="1.5" y="1.5" width="27" height="27" />
        <path class="fill" d="M1.5,1.5H28.5L1.5,28.5Z" />
        <rect class="edge" x="1.5" y="1.5" width="27" height="27" />
      </>
    );
  }
  if (letter === "R") return <circle class="edge" cx="15" cy="15" r="13" />;
  return (
    <>
      <rect class="fill" x="1" y="1" width="28" height="28" />
      <path class="cross" d="M1,1L29,29M29,1L1,29" />
    </>
  );
}
