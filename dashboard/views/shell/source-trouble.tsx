import type { JSX } from "preact";
import { picture, pictureMinuteMs } from "../../client/picture-store.ts";
import { sourceSentences } from "../../model/source-words.ts";
import { siteTimes } from "../../model/times.ts";

/** What is wrong with a station's source, on a page about the station. */
export function SourceTrouble({ station }: { readonly station: string }): JSX.Element | null {
  const floor = picture.value?.floor;
  const freshness = floor?.freshness.find((one) => one.station === station);
  if (floor === undefined || freshness === undefined) return null;
  const sentences = sourceSentences(freshness, siteTimes(floor.site.zone), pictureMinuteMs.value);
  if (sentences.length === 0) return null;
  return (
    <p class="note source-trouble" role="status" data-source-trouble={freshness.source}>
      {sentences.join(" ")}
    </p>
  );
}
