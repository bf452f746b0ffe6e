import type { JSX } from "preact";
import type { CapabilityWords } from "../../model/capability-words.ts";

/** What the process can do, or why that is not said. */
export function CapabilitySection({ words }: { readonly words: CapabilityWords }): JSX.Element {
  return (
    <section data-capability>
      <h2>Capability</h2>
      <p class="head">{words.head}</p>
      {words.indices[0]?.interval == null ? null : <p>{words.indices[0].interval}</p>}
      {words.reasons.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      {words.indices
        .filter((index) => index.name !== "Cpk" && index.value !== null)
        .map((index) => (
          <p key={index.name}>
            {index.name} <b>{index.value}</b>, {index.interval}
          </p>
        ))}
      {words.sentences.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
    </section>
  );
}
