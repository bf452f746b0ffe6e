import type { JSX } from "preact";
import type { WireHandBook, WireWritten } from "../../../api/contract/hand-wire.ts";
import { pages, paths } from "../../client/paths.ts";
import { picture } from "../../client/picture-store.ts";
import { Trouble } from "../shell/trouble.tsx";
import { useAnswer } from "../shell/use-answer.ts";
import { WaitingFor } from "../shell/waiting-for.tsx";
import { HandForm } from "./hand-form.tsx";
import { FormTabs, StationChoice } from "./station-choice.tsx";
import { WrittenList } from "./written-list.tsx";

type HandStation = WireHandBook["stations"][number];

/** What people weigh, time or read, and write down: one station at a time, for a phone and gloves. */
export function HandPage({ station }: { readonly station: string | null }): JSX.Element {
  const { answer, again } = useAnswer<WireHandBook>(paths.handBook);
  const { value, trouble, refused } = answer.value;
  const zone = picture.value?.floor.site.zone ?? null;
  if (value === null || zone === null) {
    if (trouble !== null) return <Trouble what="No page for values by hand" why={trouble} refused={refused} />;
    return <WaitingFor what="Values by hand" />;
  }
  const here = value.stations.find((one) => one.station === station) ?? null;
  return (
    <article class="hand-page">
      <header class="title">
        <h1>
          <b>By hand</b>
        </h1>
        {value.stations.length === 0 ? null : (
          <StationChoice stations={value.stations} here={here?.station ?? null} pageOf={pages.byHand} />
        )}
        <FormTabs here="by-hand" station={station} />
      </header>
      {trouble === null ? null : (
        <p class="note" role="status">
          Not the newest: {trouble}. Trying again …
        </p>
      )}
      {value.stations.length === 0 ? (
        <p class="note">Nothing is written down by hand here. The settings name what is, under a station's kind.</p>
      ) : here === null ? (
        <p class="note">
          {station === null
            ? "Choose the station where you measured."
            : `Nothing is written down by hand at ${station}.`}
        </p>
      ) : (
        <Station key={here.station} here={here} zone={zone} changed={again} />
      )}
    </article>
  );
}

function Station(props: {
  readonly here: HandStation;
  readonly zone: string;
  readonly changed: () => void;
}): JSX.Element {
  const { here, zone } = props;
  const list = useAnswer<{ readonly items: readonly WireWritten[] }>(paths.written(here.station));
  const changed = (): void => {
    list.again();
    props.changed();
  };
  return (
    <div class="hand-body">
      <HandForm station={here.station} fields={here.fields} zone={zone} written={changed} />
      <WrittenList
        items={list.answer.value.value?.items ?? null}
        trouble={list.answer.value.trouble}
        fields={here.fields}
        zone={zone}
        corrected={changed}
      />
    </div>
  );
}
