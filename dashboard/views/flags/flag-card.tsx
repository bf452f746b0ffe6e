import type { ComponentChildren, JSX } from "preact";
import type { WireFlag, WireFloorCharacteristic } from "../../../api/contract/wire.ts";
import { pages } from "../../client/paths.ts";
import { pictureMs } from "../../client/picture-store.ts";
import { Glyph } from "../../marks/glyph.tsx";
import { flagLetter, labelWords, ruleWords, valueAgainst } from "../../model/flag-words.ts";
import type { Floor } from "../../model/floor.ts";
import { ledgerSearch } from "../../model/message-words.ts";
import { counted, sentenceCase } from "../../model/numbers.ts";
import { runName } from "../../model/run-name.ts";
import { type SiteTimes, siteTimes, waitWord } from "../../model/times.ts";
import { unitWord } from "../../model/units.ts";
import { ValueText } from "../shell/value-text.tsx";
import { ActionWords } from "./action-words.tsx";
import { DoneForm } from "./done-form.tsx";
import { TakeIt } from "./flag-actions.tsx";
import { FlagHistory } from "./flag-history.tsx";

export interface FlagCardProps {
  readonly flag: WireFlag;
  readonly characteristic: WireFloorCharacteristic | null;
  readonly floor: Floor;
  /** The flags under it, of a common cause. */
  readonly children?: ComponentChildren;
}

/** One flag with its story and what can be done about it. */
export function FlagCard({ flag, characteristic, floor, children }: FlagCardProps): JSX.Element {
  const letter = flagLetter(flag.label);
  const times = siteTimes(floor.site.zone);
  const unit = flag.unit === null ? "" : unitWord(flag.unit, characteristic?.reference, characteristic?.quantity);
  const { value, against } = valueAgainst(flag, characteristic);
  const runWord = floor.stations.find((one) => one.id === flag.station)?.runWord ?? "run";
  return (
    <li
      class={`flag-card flag-${letter} state-${flag.state}`}
      data-flag={flag.id}
      data-flag-state={flag.state}
      data-label={letter}
      data-signals={flag.signals}
      data-flag-station={flag.station}
    >
      <Glyph label={flag.label} />
      <div class="story">
        <h2>
          {flag.station} {flag.says}
          <span class="light">
            {" "}
            {labelWords(flag.label)} · flag {flag.number}
            {flag.part === null ? "" : ` · ${flag.part}`}
            {flag.late ? " · found late, from the past" : ""}
            <FlagHistory flag={flag} />
          </span>
        </h2>
        {flag.doFirst === null ? null : <p class="do-first">{flag.doFirst}</p>}
        {flag.evidence === undefined ? null : <p class="evidence">{sentenceCase(flag.evidence)}.</p>}
        {flag.common === undefined ? null : (
          <p>
            First up: <b>{flag.common.children[0]?.station}</b> {times.near(Date.parse(flag.first.at), pictureMs.value)}
          </p>
        )}
        {flag.beside === undefined ? null : <p class="beside">{flag.beside}</p>}
        {flag.faultOver == null ? null : (
          <p>Nothing found since {times.near(Date.parse(flag.faultOver), pictureMs.value)}; its charts go on.</p>
        )}
        <p>
          {value === null ? null : (
            <b class="figure">
              <ValueText value={value} unit={unit} />
            </b>
          )}{" "}
          {against === "" ? "" : `worst, ${against}. `}
          {flag.rules.length === 0 ? "" : `${ruleWords(flag.rules)}. `}
          {counted(flag.signals, "signal")}
          {flag.runs.length === 0 ? "" : ` in ${counted(flag.runs.length, runWord)}`}, first{" "}
          {times.near(Date.parse(flag.first.at), pictureMs.value)}, last{" "}
          {times.near(Date.parse(flag.last.at), pictureMs.value)}.
        </p>
        <p class="light">{stateWords(flag, times)}</p>
        {flag.done === null ? null : (
          <p>
            Cause: <b>{flag.done.cause}</b>
            {flag.done.note === "" ? "" : `. ${flag.done.note}`}
          </p>
        )}
        <p class="links">
          {flag.characteristic === null ? null : (
            <a href={pages.evidence(flag.characteristic, flag.id)}>Why it flagged</a>
          )}
          {flag.run === null ? null : (
            <a href={pages.run(flag.run)}>Run Sheet of {runName(flag.run, runWord, times, pictureMs.value)}</a>
          )}
          <a href={pages.messages(ledgerSearch({ person: null, state: null, flag: flag.id, after: null }))}>
            Who was told
          </a>
        </p>
        <ActionWords flag={flag} zone={floor.site.zone} />
      </div>
      <div class="act">
        <TakeIt flag={flag} />
        <DoneForm flag={flag} causes={floor.causes} />
      </div>
      {children}
    </li>
  );
}

function stateWords(flag: WireFlag, times: SiteTimes): string {
  const now = pictureMs.value;
  const told = (one: { readonly by: string; readonly at: string }): string =>
    `${one.by} ${times.near(Date.parse(one.at), now)}`;
  const parts: string[] = [];
  if (flag.state === "waiting") parts.push(`Waiting ${waitWord(now - Date.parse(flag.foundAt))}, not yet taken`);
  if (flag.taken !== null) parts.push(`Taken by ${told(flag.taken)}`);
  if (flag.done !== null) parts.push(`Done by ${told(flag.done)}`);
  return parts.join(" · ");
}
