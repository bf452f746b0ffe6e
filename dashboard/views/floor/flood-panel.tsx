import type { JSX } from "preact";
import type { WireFlag } from "../../../api/contract/wire.ts";
import { pictureMinuteMs } from "../../client/picture-store.ts";
import { labelWords } from "../../model/flag-words.ts";
import type { Flood } from "../../model/flood.ts";
import { siteTimes } from "../../model/times.ts";
import { TakeIt } from "../flags/flag-actions.tsx";
import { evidenceHref } from "../flags/flag-link.ts";

export interface FloodPanelProps {
  readonly flood: Flood;
  /** Open flags, most urgent first. */
  readonly waiting: readonly WireFlag[];
  readonly zone: string;
}

/** Flags that come faster than they can be read: how many, which came first, where; never a list that scrolls away. */
export function FloodPanel({ flood, waiting, zone }: FloodPanelProps): JSX.Element {
  const { count, first, stations } = flood;
  const urgent = waiting.filter((flag) => flag.label === "act-now").length;
  return (
    <section class="band-frame" aria-label="Waiting flags" data-flood={first.station}>
      <div class="band flood">
        <p>
          <b>
            {count} flags in 10 minutes. First up: {first.station} {first.says}
          </b>{" "}
          {siteTimes(zone).near(Date.parse(first.foundAt), pictureMinuteMs.value)} · {labelWords(first.label)}
        </p>
        <p>
          Stations: {stations.join(", ")}.{" "}
          {urgent === 0 ? "" : `${urgent} of the open flags ${urgent === 1 ? "is" : "are"} act now. `}
          Look for what they share before any one of them.
        </p>
        <p class="links">
          <a href={evidenceHref(first)}>Open the first</a> <a href="/flags">All {waiting.length} open flags</a>
        </p>
        <TakeIt flag={first} />
      </div>
    </section>
  );
}
