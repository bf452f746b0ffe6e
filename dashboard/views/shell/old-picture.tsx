import type { JSX } from "preact";
import { lastNewsMs, picture, pictureOld, tries } from "../../client/picture-store.ts";
import { siteTimes } from "../../model/times.ts";

/** A picture that has stopped must look stopped: a hatched frame round everything, and when the last news came. */
export function OldPicture(): JSX.Element | null {
  const floor = picture.value?.floor ?? null;
  if (floor === null || !pictureOld.value || lastNewsMs.value === null) return null;
  const last = siteTimes(floor.site.zone).clock(lastNewsMs.value);
  return (
    <>
      <div class="old-frame" aria-hidden="true" />
      <p class="old-words" role="status">
        Picture is old: last news {last}, trying again{tries.value > 0 ? ` (${tries.value} so far)` : ""} …
      </p>
    </>
  );
}
