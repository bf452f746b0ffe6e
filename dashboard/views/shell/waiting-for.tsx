import { useSignal } from "@preact/signals";
import type { ComponentChildren, JSX } from "preact";
import { useEffect } from "preact/hooks";

/** Nothing for 300 ms, then outlines in their final size, and after 5 s a sentence as well. */
export function WaitingFor(props: { readonly what: string; readonly children?: ComponentChildren }): JSX.Element {
  const stage = useSignal<"quiet" | "outlines" | "sentence">("quiet");
  useEffect(() => {
    const soon = setTimeout(() => (stage.value = "outlines"), 300);
    const late = setTimeout(() => (stage.value = "sentence"), 5_000);
    return () => {
      clearTimeout(soon);
      clearTimeout(late);
    };
  }, [stage]);
  return (
    <section class="loading" aria-busy="true" data-loading={stage.value}>
      <h1 class="unseen">{props.what}</h1>
      <p class="note" role="status">
        {stage.value === "sentence" ? "Still waiting for data from the store" : ""}
      </p>
      {stage.value === "quiet" ? null : props.children}
    </section>
  );
}
