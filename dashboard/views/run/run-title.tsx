import type { JSX } from "preact";
import type { WireRun, WireRunSheet } from "../../../api/contract/wire.ts";
import { toldInstant } from "../../../spc/features/context-number.ts";
import { pages } from "../../client/paths.ts";
import { pictureMs } from "../../client/picture-store.ts";
import { sentenceCase } from "../../model/numbers.ts";
import { siteTimes } from "../../model/times.ts";

const endings: Readonly<Record<WireRun["closedBy"], string>> = {
  "end-condition": "",
  timeout: "closed because it ran too long",
  gap: "closed at a gap in the data",
  operator: "closed by a person",
  imported: "imported",
  "by-hand": "written down by hand",
};

/** A name of the settings or of an event in words: `recipe-cup`, `sandLot`. */
function wordsOf(key: string): string {
  return key.replaceAll(/[A-Z]/g, " $&").replaceAll("-", " ").toLowerCase();
}

/** A time that an event told, on the site's clock; anything else as it is. */
function instantIn(value: string, times: ReturnType<typeof siteTimes>): string {
  const ms = toldInstant(value);
  return Number.isNaN(ms) ? value : `${times.day(ms)} ${times.minute(ms)}`;
}

export function RunTitle({ sheet, zone }: { readonly sheet: WireRunSheet; readonly zone: string }): JSX.Element {
  const { run } = sheet;
  const times = siteTimes(zone);
  const start = Date.parse(run.start);
  const end = Date.parse(run.end);
  const sameDay = times.fullDay(start) === times.fullDay(end);
  // What was said of it late, where it was reckoned anew.
  const context = Object.entries(sheet.revisions.at(-1)?.context ?? run.context)
    .filter(([, value]) => value !== run.id)
    .map(([key, value]) => (key === "part" ? value : `${wordsOf(key)} ${instantIn(value, times)}`));
  const span = `${times.day(start)} ${times.clock(start)} to ${sameDay ? "" : `${times.day(end)} `}${times.clock(end)}`;
  const today = times.near(start, pictureMs.value) === times.minute(start);
  return (
    <header class="title">
      <h1>
        {sentenceCase(run.runWord)} <b>{today ? times.clock(start) : `${times.day(start)} ${times.minute(start)}`}</b>{" "}
        in <b>{run.station}</b>
      </h1>
      <p class="light">{[...context, span, endings[run.closedBy]].filter((part) => part !== "").join(" · ")}</p>
      <nav class="neighbours" aria-label="Neighbouring runs">
        {sheet.previous === null ? null : (
          <a class="button" href={pages.run(sheet.previous)} rel="prev">
            ← {run.runWord} before
          </a>
        )}
        {sheet.next === null ? null : (
          <a class="button" href={pages.run(sheet.next)} rel="next">
            {run.runWord} after →
          </a>
        )}
      </nav>
    </header>
  );
}
