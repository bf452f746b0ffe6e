import type { JSX } from "preact";
import { useEffect } from "preact/hooks";
import type { WireLongTerm } from "../../../api/contract/wire.ts";
import { paths } from "../../client/paths.ts";
import { longTermSentences } from "../../model/long-term-words.ts";
import { siteTimes } from "../../model/times.ts";
import { useAnswer } from "../shell/use-answer.ts";

const againMs = 30_000;

/** Whether readings reach the long-term store; nothing where there is none. */
export function LongTermNote({ zone }: { readonly zone: string }): JSX.Element | null {
  const { answer, again } = useAnswer<{ readonly longTerm: WireLongTerm | null }>(paths.counts);
  useEffect(() => {
    const timer = setInterval(again, againMs);
    return () => clearInterval(timer);
  }, [again]);
  const copy = answer.value.value?.longTerm ?? null;
  if (copy === null) return null;
  const state = copy.trouble === null ? "working" : "trouble";
  return (
    <section class="long-term" aria-label="Long-term store">
      <h2>Long-term store</h2>
      <p class={copy.trouble === null ? "light" : "note"} role="status" data-long-term={state}>
        {longTermSentences(copy, siteTimes(zone)).join(" ")}
      </p>
    </section>
  );
}
