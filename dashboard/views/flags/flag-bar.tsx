import type { JSX } from "preact";
import type { WireFlag } from "../../../api/contract/wire.ts";
import { pictureMs } from "../../client/picture-store.ts";
import { Glyph } from "../../marks/glyph.tsx";
import { flagLetter, labelWords } from "../../model/flag-words.ts";
import type { Floor } from "../../model/floor.ts";
import { siteTimes, waitWord } from "../../model/times.ts";
import { ActionWords } from "./action-words.tsx";
import { DoneForm } from "./done-form.tsx";
import { TakeIt } from "./flag-actions.tsx";
import { FlagHistory } from "./flag-history.tsx";
import { evidenceHref } from "./flag-link.ts";

/** A flag above its chart or its run: what it is, what to do first, and the two things a person can do. */
export function FlagBar({ flag, floor }: { readonly flag: WireFlag; readonly floor: Floor }): JSX.Element {
  const letter = flagLetter(flag.label);
  return (
    <div
      class={`flag-bar flag-${letter} state-${flag.state}`}
      data-flag={flag.id}
      data-flag-state={flag.state}
      data-label={letter}
      data-signals={flag.signals}
    >
      <Glyph label={flag.label} px={24} />
      <p class="what">
        <span class="unseen">{labelWords(flag.label)}: </span>
        <a href={evidenceHref(flag)}>
          <b>{flag.says}</b>
        </a>{" "}
        <span class="do-first">{flag.doFirst}</span>
      </p>
      <p class="wait">
        flag {flag.number} · {stateWords(flag, floor.site.zone)}
        <FlagHistory flag={flag} />
      </p>
      <div class="act">
        <TakeIt flag={flag} />
        <DoneForm flag={flag} causes={floor.causes} />
      </div>
      <ActionWords flag={flag} zone={floor.site.zone} />
    </div>
  );
}

function stateWords(flag: WireFlag, zone: string): string {
  const times = siteTimes(zone);
  const now = pictureMs.value;
  if (flag.done !== null)
    return `done by ${flag.done.by} ${times.near(Date.parse(flag.done.at), now)}: ${flag.done.cause}`;
  if (flag.taken !== null) return `${flag.taken.by} has it since ${times.near(Date.parse(flag.taken.at), now)}`;
  return `waiting ${waitWord(now - Date.parse(flag.foundAt))}`;
}
