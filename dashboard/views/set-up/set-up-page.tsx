import type { JSX } from "preact";
import type { WireSetUp, WireSetUpStation } from "../../../api/contract/set-up-wire.ts";
import { pages, paths } from "../../client/paths.ts";
import { pictureMinuteMs } from "../../client/picture-store.ts";
import { contextSaid, otherwise, saidWords } from "../../model/set-up-words.ts";
import { siteTimes } from "../../model/times.ts";
import { StationFormPage } from "../by-hand/station-form-page.tsx";
import { useAnswer } from "../shell/use-answer.ts";
import { SaidList } from "./said-list.tsx";
import { SetUpForm } from "./set-up-form.tsx";

/** Which part, tool or lot is set up where; a scanner may say it. */
export function SetUpPage({ station }: { readonly station: string | null }): JSX.Element {
  return (
    <StationFormPage<WireSetUpStation>
      here="set-up"
      title="What is set up"
      missing="No page for what is set up"
      book={paths.setUpBook}
      station={station}
      pageOf={pages.setUp}
      none={
        <>
          Nothing is said by hand here. The settings name what can be set up, under <code>context</code> of a station's
          kind.
        </>
      }
      choose="Choose the station where something was set up."
      nothingAt={(other) => `Nothing is set up by hand at ${other}: what its own events tell is all that it needs.`}
      body={(here, zone, stations, changed) => (
        <Station
          key={here.station}
          here={here}
          stations={stations.map((one) => one.station)}
          zone={zone}
          changed={changed}
        />
      )}
    />
  );
}

function Station(props: {
  readonly here: WireSetUpStation;
  readonly stations: readonly string[];
  readonly zone: string;
  readonly changed: () => void;
}): JSX.Element {
  const { here, stations, zone } = props;
  const list = useAnswer<{ readonly items: readonly WireSetUp[] }>(paths.setUps(here.station));
  const changed = (): void => {
    list.again();
    props.changed();
  };
  return (
    <div class="hand-body">
      <div>
        <LastRun here={here} zone={zone} />
        <SetUpForm here={here} stations={stations} zone={zone} said={changed} />
      </div>
      <SaidList
        items={list.answer.value.value?.items ?? null}
        trouble={list.answer.value.trouble}
        here={here}
        zone={zone}
        corrected={changed}
      />
    </div>
  );
}

/** What the newest run had, and where that is something else than what was said before it. */
function LastRun({ here, zone }: { readonly here: WireSetUpStation; readonly zone: string }): JSX.Element {
  const { lastRun, words } = here;
  if (lastRun === null) return <p class="light">No run of {here.station} has been cut yet.</p>;
  const had = saidWords(contextSaid(lastRun.context, words), words);
  const other = otherwise(here);
  return (
    <>
      <p data-last-run>
        The newest{" "}
        <a href={pages.run(lastRun.id)}>
          {lastRun.runWord} {siteTimes(zone).near(Date.parse(lastRun.start), pictureMinuteMs.value)}
        </a>{" "}
        had {had === "" ? "none of these words" : <b>{had}</b>}.
      </p>
      {other.length === 0 ? null : (
        <p class="light">
          {here.station} tells {other.map(({ name }) => name.toLowerCase()).join(" and ")} itself: what its own events
          say of a {lastRun.runWord} counts more than what is said here.
        </p>
      )}
    </>
  );
}
