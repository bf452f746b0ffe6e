import type { JSX } from "preact";
import type { WireHandBook, WireWritten } from "../../../api/contract/hand-wire.ts";
import { pages, paths } from "../../client/paths.ts";
import { useAnswer } from "../shell/use-answer.ts";
import { HandForm } from "./hand-form.tsx";
import { StationFormPage } from "./station-form-page.tsx";
import { WrittenList } from "./written-list.tsx";

type HandStation = WireHandBook["stations"][number];

/** What people weigh, time or read, and write down. */
export function HandPage({ station }: { readonly station: string | null }): JSX.Element {
  return (
    <StationFormPage<HandStation>
      here="by-hand"
      title="By hand"
      missing="No page for values by hand"
      book={paths.handBook}
      station={station}
      pageOf={pages.byHand}
      none="Nothing is written down by hand here. The settings name what is, under a station's kind."
      choose="Choose the station where you measured."
      nothingAt={(other) => `Nothing is written down by hand at ${other}.`}
      body={(here, zone, _, changed) => <Station key={here.station} here={here} zone={zone} changed={changed} />}
    />
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
