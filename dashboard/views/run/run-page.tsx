import type { JSX } from "preact";
import type { WireFlag, WireRunSheet } from "../../../api/contract/wire.ts";
import { paths } from "../../client/paths.ts";
import { picture } from "../../client/picture-store.ts";
import type { Floor } from "../../model/floor.ts";
import { missingSentence } from "../../model/source-words.ts";
import { siteTimes } from "../../model/times.ts";
import { FlagBar } from "../flags/flag-bar.tsx";
import { Trouble } from "../shell/trouble.tsx";
import { useAnswer } from "../shell/use-answer.ts";
import { WaitingFor } from "../shell/waiting-for.tsx";
import { RunDryness } from "./run-dryness.tsx";
import { RunGave } from "./run-gave.tsx";
import { RunLadle } from "./run-ladle.tsx";
import { RunRevisions } from "./run-revisions.tsx";
import { RunTitle } from "./run-title.tsx";
import { RunTraces } from "./run-traces.tsx";
import { RunWritten } from "./run-written.tsx";

/** One run: its traces over those of the runs before it, what it gave, and its flags. */
export function RunPage({ id }: { readonly id: string }): JSX.Element {
  const { answer, again } = useAnswer<WireRunSheet>(paths.run(id));
  const { value: sheet, trouble, refused } = answer.value;
  const now = picture.value;
  if (sheet === null || now === null) {
    if (trouble === null) return <WaitingFor what="Run Sheet" />;
    return <Trouble what={refused ? `No run ${id}` : `Run ${id}`} why={trouble} refused={refused} />;
  }
  const flags = sheet.flags.map((flag): WireFlag => now.flags.get(flag.id) ?? flag);
  return (
    <article class="run-page" data-run={sheet.run.id}>
      <RunTitle sheet={sheet} zone={now.floor.site.zone} />
      {flags.map((flag) => (
        <FlagBar key={flag.id} flag={flag} floor={now.floor} />
      ))}
      <MissingMessages sheet={sheet} floor={now.floor} />
      <div class="run-body">
        <section class="traces" aria-label="Traces">
          {sheet.run.imported ? (
            <p class="note">Imported: no trace behind this dot. What the site's own records said stands beside.</p>
          ) : sheet.run.closedBy === "by-hand" ? (
            <p class="note">Measured by a person: no trace behind this dot. What was written down stands beside.</p>
          ) : sheet.tracesAway !== null ? (
            <p class="note" role="status">
              The trace of this run is in the long-term store, which cannot be read now: {sheet.tracesAway}
            </p>
          ) : sheet.traces.length === 0 ? (
            <p class="note">No trace of this run is in the store any more.</p>
          ) : (
            <RunTraces sheet={sheet} zone={now.floor.site.zone} />
          )}
        </section>
        <div class="beside">
          <RunLadle sheet={sheet} />
          <RunDryness sheet={sheet} />
          <RunGave sheet={sheet} flags={flags} />
          <RunWritten sheet={sheet} zone={now.floor.site.zone} />
          <RunRevisions sheet={sheet} zone={now.floor.site.zone} changed={again} />
        </div>
      </div>
    </article>
  );
}

/** A trace with a hole that nobody sees is worse than none: what never came about the run's time is said above it. */
function MissingMessages(props: { readonly sheet: WireRunSheet; readonly floor: Floor }): JSX.Element | null {
  const { sheet, floor } = props;
  if (sheet.missing.length === 0) return null;
  const source = floor.stations.find(({ id }) => id === sheet.run.station)?.source ?? "its source";
  const times = siteTimes(floor.site.zone);
  const words = sheet.missing.map((one) => missingSentence(source, one, times, Date.parse(sheet.run.end)));
  return (
    <p class="note source-trouble" role="status" data-missing={sheet.missing.length}>
      {words.join(" ")}
    </p>
  );
}
