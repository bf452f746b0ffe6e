import type { JSX } from "preact";
import type { WireFlag, WireRunSheet } from "../../../api/contract/wire.ts";
import { pages } from "../../client/paths.ts";
import { SmallRuler } from "../../marks/small-ruler.tsx";
import { flagLetter } from "../../model/flag-words.ts";
import { type GivenFeature, givenFeatures } from "../../model/run-sheet.ts";
import { unitAfter } from "../../model/units.ts";

/** What the run gave: each feature on the small ruler of its own limits, or why there is no number. */
export function RunGave(props: { readonly sheet: WireRunSheet; readonly flags: readonly WireFlag[] }): JSX.Element {
  const given = givenFeatures(props.sheet);
  return (
    <section class="gave">
      <h2>What this run gave</h2>
      {given.length > 0 ? null : (
        <p class="light">No number: the settings chart none of a {props.sheet.run.runWord} here.</p>
      )}
      <ul>
        {given.map((feature) => (
          <Given
            key={feature.key}
            feature={feature}
            flag={props.flags.find((one) => one.id === feature.flag) ?? null}
          />
        ))}
      </ul>
    </section>
  );
}

function Given({ feature, flag }: { readonly feature: GivenFeature; readonly flag: WireFlag | null }): JSX.Element {
  const letter = feature.flagged && flag !== null ? ` flag-${flagLetter(flag.label)}` : "";
  return (
    <li class={`given${feature.flagged ? " flagged" : ""}${letter}`} data-feature={feature.key}>
      <p class="name">
        {feature.characteristic === null ? (
          feature.name
        ) : (
          <a href={pages.evidence(feature.characteristic, feature.flagged ? (feature.flag ?? undefined) : undefined)}>
            {feature.name}
          </a>
        )}
        <span class="light">
          {[feature.reason ?? feature.detail, feature.version, feature.before].filter((part) => part !== "").join("; ")}
        </span>
      </p>
      {feature.place === null ? (
        <span class="no-ruler" />
      ) : (
        <SmallRuler place={feature.place} flagged={feature.flagged} />
      )}
      <p class="value">
        {feature.value === null ? <span class="light">no value</span> : `${feature.value}${unitAfter(feature.unit)}`}
      </p>
    </li>
  );
}
