import type { JSX } from "preact";
import type { WireFlag } from "../../../api/contract/wire.ts";
import { historyWords } from "../../model/flag-words.ts";

/** Unseen by its shift, back after it was closed, at an uncertain time: said in words wherever the flag is told of. */
export function FlagHistory({ flag }: { readonly flag: WireFlag }): JSX.Element | null {
  const words = historyWords(flag);
  if (words.length === 0) return null;
  return (
    <span
      class="history"
      data-came-back={flag.cameBack === null ? undefined : flag.cameBack.number}
      data-unseen={flag.unseen === null ? undefined : flag.unseen.shift}
    >
      {" · "}
      {words.join(" · ")}
    </span>
  );
}
