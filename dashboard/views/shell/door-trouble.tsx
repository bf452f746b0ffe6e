import type { JSX } from "preact";
import { picture, pictureMinuteMs } from "../../client/picture-store.ts";
import { doorSentence } from "../../model/source-words.ts";
import { siteTimes } from "../../model/times.ts";

/** Banners for what is wrong where all readings come in. */
export function DoorTrouble(): JSX.Element {
  const floor = picture.value?.floor;
  return (
    <>
      {(floor?.door ?? []).map((trouble) => (
        <p key={trouble.code} class="note door-trouble" role="status" data-door={trouble.code}>
          {doorSentence(trouble, siteTimes(floor?.site.zone ?? "UTC"), pictureMinuteMs.value)}
        </p>
      ))}
    </>
  );
}
