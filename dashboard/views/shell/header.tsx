import type { JSX } from "preact";
import { pages } from "../../client/paths.ts";
import { clockMs, heldAtMs, hold, lastNewsMs, picture, pictureAgeMs } from "../../client/picture-store.ts";
import { route } from "../../client/route.ts";
import { may } from "../../client/session.ts";
import { handledFlags } from "../../model/flag-words.ts";
import { sentenceCase } from "../../model/numbers.ts";
import { ageWord, siteTimes } from "../../model/times.ts";

export function Header(): JSX.Element {
  const floor = picture.value?.floor ?? null;
  const here = route.value.page;
  const flags = handledFlags(floor?.flags ?? []);
  const waiting = flags.filter((flag) => flag.state === "waiting").length;
  const taken = flags.filter((flag) => flag.state === "taken").length;
  return (
    <header class="top">
      <a class="brand" href="/">
        Steadypour
      </a>
      <nav aria-label="Pages">
        <a href="/" aria-current={here === "floor" ? "page" : undefined}>
          Floor
        </a>
        <a href="/flags" aria-current={here === "flags" ? "page" : undefined}>
          Flags
        </a>
        <a href="/bench" aria-current={here === "bench" ? "page" : undefined}>
          <span class="long">Chart Bench</span>
          <span class="short">Bench</span>
        </a>
        <a href="/limits" aria-current={here === "limits" ? "page" : undefined}>
          <span class="long">Limits Book</span>
          <span class="short">Limits</span>
        </a>
        <a href={pages.instruments()} aria-current={here === "instruments" ? "page" : undefined}>
          Instruments
        </a>
        <a href="/by-hand" aria-current={here === "by-hand" || here === "set-up" ? "page" : undefined}>
          By hand
        </a>
        <a href={pages.messages()} aria-current={here === "messages" ? "page" : undefined}>
          <span class="long">Message Routes</span>
          <span class="short">Messages</span>
        </a>
        {may("read-own-record") ? (
          <a href="/record" aria-current={here === "record" ? "page" : undefined}>
            <span class="long">Change Record</span>
            <span class="short">Record</span>
          </a>
        ) : null}
        {may("manage-people") ? (
          <a href="/people" aria-current={here === "people" ? "page" : undefined}>
            People
          </a>
        ) : null}
      </nav>
      <p class="shift">
        {floor?.shift ? (
          <>
            {shiftWords(floor.shift.name)}{" "}
            <span class="light">since {siteTimes(floor.site.zone).minute(Date.parse(floor.shift.since))}</span>
          </>
        ) : floor?.free ? (
          <>
            No shift <span class="light">until {siteTimes(floor.site.zone).weekday(Date.parse(floor.free.until))}</span>
          </>
        ) : null}
        <span class="light site">{floor?.site.name}</span>
      </p>
      <p class="counts">{floor === null ? null : `${waiting} waiting · ${taken} taken`}</p>
      {floor === null ? null : <Clock zone={floor.site.zone} />}
      <Age />
      <button type="button" class="plain" aria-pressed={heldAtMs.value !== null} onClick={hold}>
        {heldAtMs.value === null ? "Hold the picture" : "Let it go on"}
      </button>
    </header>
  );
}

function Clock({ zone }: { readonly zone: string }): JSX.Element {
  const times = siteTimes(zone);
  return (
    <time class="clock">
      {times.clock(clockMs.value)} <span>{times.offset(clockMs.value)}</span>
    </time>
  );
}

function Age(): JSX.Element {
  if (heldAtMs.value !== null) {
    return (
      <p class="age held" data-behind>
        held, {Math.max(0, Math.floor((clockMs.value - heldAtMs.value) / 1_000))} s behind
      </p>
    );
  }
  return (
    <p class="age">{lastNewsMs.value === null ? "no picture yet" : `picture ${ageWord(pictureAgeMs.value)} old`}</p>
  );
}

/** Sites name their shifts `early` or `Early shift`; people read the latter. */
function shiftWords(name: string): string {
  return sentenceCase(/shift/i.test(name) ? name : `${name} shift`);
}
