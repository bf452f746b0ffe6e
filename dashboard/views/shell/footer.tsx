import type { JSX } from "preact";
import { night, toggleNight } from "../../client/palette.ts";
import { pages } from "../../client/paths.ts";
import { picture } from "../../client/picture-store.ts";
import type { Floor } from "../../model/floor.ts";
import { counted, figure } from "../../model/numbers.ts";
import { siteTimes } from "../../model/times.ts";
import { PersonButton } from "./person-button.tsx";

function sinceWords({ shift, free, site }: Floor): string {
  const since = shift?.since ?? free?.since;
  if (since === undefined) return "So far: ";
  const times = siteTimes(site.zone);
  return `Since ${shift === null ? times.weekday(Date.parse(since)) : times.minute(Date.parse(since))}: `;
}

export function Footer(): JSX.Element {
  const floor = picture.value?.floor ?? null;
  return (
    <footer class="foot">
      <PersonButton />
      <button type="button" class="plain small" aria-pressed={night.value} onClick={toggleNight}>
        Night colours
      </button>
      {floor === null ? (
        <p class="since" />
      ) : (
        <p class="since">
          {sinceWords(floor)}
          <b>{floor.sinceShift.flags}</b> flags, <b>{floor.sinceShift.done}</b> done, chance alone would give{" "}
          <b>{figure(floor.sinceShift.chance, 1)}</b>
          {floor.sinceShift.untold === 0 ? null : `; no rate is told of ${counted(floor.sinceShift.untold, "chart")}`}
        </p>
      )}
      <a href={pages.pocket}>Pocket</a>
      <p class="light">Informs only. No safety function, no interlock.</p>
    </footer>
  );
}
