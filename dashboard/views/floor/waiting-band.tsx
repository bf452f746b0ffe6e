import type { JSX } from "preact";
import { pictureMinuteMs } from "../../client/picture-store.ts";
import { bandRows, windowSize } from "../../client/window-size.ts";
import { byUrgency, handledFlags } from "../../model/flag-words.ts";
import { floodNow } from "../../model/flood.ts";
import { charted, type Picture } from "../../model/picture.ts";
import { siteTimes } from "../../model/times.ts";
import { FlagRow } from "../flags/flag-row.tsx";
import { FloodPanel } from "./flood-panel.tsx";

/** Open flags, most urgent first. It keeps its height whatever comes and goes, so that the page never jumps. */
export function WaitingBand({ picture }: { readonly picture: Picture }): JSX.Element {
  const { floor } = picture;
  const flags = byUrgency(handledFlags(floor.flags));
  const words = new Map(floor.stations.map((station) => [station.id, station.runWord]));
  const flood = floodNow(picture.flags.values(), pictureMinuteMs.value);
  if (flood !== null) return <FloodPanel flood={flood} waiting={flags} zone={floor.site.zone} />;
  return (
    <section class="band-frame" aria-label="Waiting flags">
      <div class="band">
        {flags.length === 0 ? (
          <p class="nothing">{nothingWords(floor.lastWaitingEnded, floor.site.zone)}</p>
        ) : (
          <ul>
            {flags.map((flag) => (
              <FlagRow
                key={flag.id}
                flag={flag}
                characteristic={flag.characteristic === null ? null : charted(picture, flag.characteristic)}
                runWord={words.get(flag.station) ?? "run"}
                zone={floor.site.zone}
              />
            ))}
          </ul>
        )}
      </div>
      {flags.length > bandRows(windowSize.value.height) ? (
        <p class="more">
          <a href="/flags">All {flags.length} open flags</a>
        </p>
      ) : null}
    </section>
  );
}

function nothingWords(since: string | null, zone: string): string {
  if (since === null) return "Nothing waiting";
  return `Nothing waiting since ${siteTimes(zone).near(Date.parse(since), pictureMinuteMs.value)}`;
}
