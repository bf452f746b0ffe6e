import type { JSX } from "preact";
import type { WireRunSheet } from "../../../api/contract/wire.ts";
import { doubtSentences, drynessSentence, evidenceOf } from "../../model/run-rules.ts";

/** The dryer rule: what may be said of the load's dryness, on what it rests, and what contradicts it. */
export function RunDryness({ sheet }: { readonly sheet: WireRunSheet }): JSX.Element | null {
  const { dryness } = sheet;
  if (dryness === null) return null;
  return (
    <section class="rule-part" aria-labelledby="dryer-rule" data-dryness={dryness.says}>
      <h2 id="dryer-rule">How dry</h2>
      <p>{drynessSentence(dryness)}</p>
      {doubtSentences(dryness).map((doubt) => (
        <p key={doubt} class="doubt">
          {doubt}
        </p>
      ))}
      <ul class="facts">
        {evidenceOf(dryness).map(({ name, value, reason }) => (
          <li key={name}>
            {name} {value === null ? <span class="light">no value: {reason}</span> : <b>{value}</b>}
          </li>
        ))}
      </ul>
      <p class="light">
        Wet clusters and metal are a burn risk: this informs, and releases nothing. Relative humidity decides nothing
        here. Common practice, no source.
      </p>
    </section>
  );
}
