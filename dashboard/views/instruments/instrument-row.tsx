import type { JSX } from "preact";
import type { WireInstrument } from "../../../api/contract/instrument-wire.ts";
import { pages } from "../../client/paths.ts";
import { pictureMs } from "../../client/picture-store.ts";
import { Glyph } from "../../marks/glyph.tsx";
import {
  calibrationWords,
  checkWord,
  newestWords,
  qualityWord,
  shareWords,
  stateWord,
} from "../../model/instrument-words.ts";
import { ageWord, siteTimes } from "../../model/times.ts";

/** One instrument: how it stands, the evidence, what it read last, calibration, and what it eats of each tolerance. */
export function InstrumentRow({ one, zone }: { readonly one: WireInstrument; readonly zone: string }): JSX.Element {
  const times = siteTimes(zone);
  const now = pictureMs.value;
  const near = (at: string): string => times.near(Date.parse(at), now);
  return (
    <li class={`instrument is-${one.state}`} data-instrument={one.series} data-instrument-state={one.state}>
      <div class="mark">{one.state === "fault" ? <Glyph label="instrument-fault" /> : null}</div>
      <div class="what">
        <h2>
          {one.station} {one.role} <span class="state">{stateWord(one.state)}</span>
        </h2>
        <p class="light">
          {one.is ?? "the settings say nothing of this instrument"} · {one.source}
        </p>
        {one.evidence.map(({ check, says, verdict, at }) => (
          <p key={check} class="evidence">
            {says}.{" "}
            <span class="light">
              {verdict === "undecided" ? "Process or instrument: undecided. " : ""}Since {near(at)}.
            </span>
          </p>
        ))}
        {one.flag === null ? null : (
          <p>
            <a href={pages.flags}>
              Flag {one.flag.number}, {one.flag.state}
            </a>
          </p>
        )}
      </div>
      <p class="newest">
        <b>{newestWords(one, now)}</b> <span class="light">quality {qualityWord(one)}</span>
      </p>
      <p class="calibration">{calibrationWords(one, times.fullDay)}</p>
      <div class="serves">
        {one.shares.length === 0 ? (
          <p class="light">serves no specification</p>
        ) : (
          <ul>
            {one.shares.map((share) => (
              <li key={share.characteristic}>{shareWords(share)}</li>
            ))}
          </ul>
        )}
        <details>
          <summary>
            Last checks
            <span class="unseen">
              {" "}
              of {one.station} {one.role}
            </span>
          </summary>
          {one.checks.length === 0 ? (
            <p class="light">No check has had enough to look at yet.</p>
          ) : (
            <dl>
              <div>
                <dt>newest look</dt>
                <dd>{ageWord(now - newestLook(one))} ago: checks are kept as of the station's last checkpoint</dd>
              </div>
              {one.checks.map(({ check, verdict, says, at }) => (
                <div key={check}>
                  <dt>
                    {checkWord(check)} <span class="light">{near(at)}</span>
                  </dt>
                  <dd>
                    {verdict === "well" ? "" : `${verdict}: `}
                    {says}
                  </dd>
                </div>
              ))}
            </dl>
          )}
        </details>
      </div>
    </li>
  );
}

function newestLook({ checks }: WireInstrument): number {
  return Math.max(...checks.map(({ at }) => Date.parse(at)));
}
