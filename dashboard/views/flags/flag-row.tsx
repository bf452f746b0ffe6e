import type { JSX } from "preact";
import type { WireFlag, WireFloorCharacteristic } from "../../../api/contract/wire.ts";
import { pages } from "../../client/paths.ts";
import { pictureMinuteMs, pictureMs } from "../../client/picture-store.ts";
import { Glyph } from "../../marks/glyph.tsx";
import { flagLetter, labelWords, valueAgainst } from "../../model/flag-words.ts";
import { sentenceCase } from "../../model/numbers.ts";
import { runName } from "../../model/run-name.ts";
import { siteTimes, waitWord } from "../../model/times.ts";
import { unitWord } from "../../model/units.ts";
import { ValueText } from "../shell/value-text.tsx";
import { ActionWords } from "./action-words.tsx";
import { TakeIt } from "./flag-actions.tsx";
import { FlagHistory } from "./flag-history.tsx";
import { evidenceHref } from "./flag-link.ts";

export interface FlagRowProps {
  readonly flag: WireFlag;
  readonly characteristic: WireFloorCharacteristic | null;
  readonly runWord: string;
  readonly zone: string;
}

/** One open flag as one line: what is wrong, what to do first, the value, the run, how long, and the one button. */
export function FlagRow({ flag, characteristic, runWord, zone }: FlagRowProps): JSX.Element {
  const letter = flagLetter(flag.label);
  const unit = flag.unit === null ? "" : unitWord(flag.unit, characteristic?.reference, characteristic?.quantity);
  const { value, against } = valueAgainst(flag, characteristic);
  const times = siteTimes(zone);
  const run = flag.worst.run ?? flag.run;
  return (
    <li
      class={`flag-row flag-${letter}`}
      data-flag={flag.id}
      data-flag-state={flag.state}
      data-label={letter}
      data-signals={flag.signals}
      data-flag-station={flag.station}
    >
      <div class="line">
        <Glyph label={flag.label} />
        <p class="what">
          <span class="unseen">{labelWords(flag.label)}: </span>
          <a href={evidenceHref(flag)}>
            <b>
              {flag.station} {flag.says}
            </b>
          </a>
          {flag.part === null ? null : <span class="part">{flag.part}</span>}
          <span class="do-first">{flag.doFirst}</span>
        </p>
        <p class="value">
          {value === null ? null : (
            <b>
              <ValueText value={value} unit={unit} />
            </b>
          )}{" "}
          <span class="light">{against}</span>
        </p>
        <p class="run">
          {run === null ? null : (
            <a href={pages.run(run)}>{sentenceCase(runName(run, runWord, times, pictureMinuteMs.value))}</a>
          )}
          {flag.runs.length > 1 ? <span class="light"> and {flag.runs.length - 1} more</span> : null}
        </p>
        <p class="wait">
          <Waiting flag={flag} />
          {flag.late ? <span class="light"> found late</span> : null}
          <FlagHistory flag={flag} />
        </p>
        <div class="act">
          {flag.state === "waiting" ? (
            <TakeIt flag={flag} />
          ) : (
            <a class="button" href={evidenceHref(flag)} aria-label={`Open: ${flag.station} ${flag.says}`}>
              Open
            </a>
          )}
        </div>
      </div>
      <ActionWords flag={flag} zone={zone} />
    </li>
  );
}

function Waiting({ flag }: { readonly flag: WireFlag }): JSX.Element {
  if (flag.taken !== null) {
    return (
      <>
        {flag.taken.by} has it <b>{waitWord(pictureMs.value - Date.parse(flag.taken.at))}</b>
      </>
    );
  }
  return (
    <>
      waiting <b>{waitWord(pictureMs.value - Date.parse(flag.foundAt))}</b>
    </>
  );
}
