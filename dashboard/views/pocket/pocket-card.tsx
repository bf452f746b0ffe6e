import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { WireCharacteristic, WireFlag, WirePoint } from "../../../api/contract/wire.ts";
import { Refused } from "../../client/ask.ts";
import { pages } from "../../client/paths.ts";
import { Glyph } from "../../marks/glyph.tsx";
import { StripMark } from "../../marks/strip-mark.tsx";
import { flagLetter, labelWords } from "../../model/flag-words.ts";
import { stripModel } from "../../model/strip.ts";
import { type CardView, liveCard, pushedCard, stateWords } from "../../pocket/card-view.ts";
import { askFlag, askStrip, clockTime, own, plant, reached } from "../../pocket/pocket-state.ts";
import { ValueText } from "../shell/value-text.tsx";
import { EarlierFlags } from "./earlier-flags.tsx";
import { PocketFoot } from "./pocket-app.tsx";
import { ReachWords } from "./reach-words.tsx";
import { TakeButton } from "./take-button.tsx";

interface Strip {
  readonly characteristic: WireCharacteristic;
  readonly points: readonly WirePoint[];
}

/** One flag for one thumb: the word and the value, then what to do, then the one button. */
export function PocketCard({ flag: id }: { readonly flag: string }): JSX.Element {
  const [closed, setClosed] = useState<WireFlag | "unknown" | null>(null);
  const [strip, setStrip] = useState<Strip | null>(null);
  const listed = plant.value?.flags.find((one) => one.id === id);
  const atMs = plant.value?.atMs;

  useEffect(() => {
    if (atMs === undefined || listed !== undefined) return;
    // Not among the open ones: it is done by now, or there is none.
    askFlag(id).then(setClosed, (error: unknown) => {
      if (error instanceof Refused) setClosed("unknown");
    });
  }, [id, atMs, listed === undefined]);
  const flag = listed ?? (closed === "unknown" ? null : closed);
  const characteristic = flag?.characteristic ?? null;
  useEffect(() => {
    if (characteristic === null) return;
    // Without the strip the card says all that matters.
    askStrip(characteristic).then(setStrip, () => setStrip(null));
  }, [characteristic, flag?.signals]);

  const view = viewOf(id, flag, strip);
  if (view === null) return <NoCard unknown={closed === "unknown"} />;
  const letter = flagLetter(view.label);
  const state = stateWords(view, own.value?.takes.get(id));
  const shownMs = own.value?.cards.get(id)?.shownMs;
  return (
    <div
      class={`pocket-card flag-${letter}`}
      data-flag={id}
      data-label={letter}
      data-from={view.fromPush ? "push" : "plant"}
    >
      <header class="pocket-top">
        <Glyph label={view.label} />
        <b class="word">{labelWords(view.label)}</b>
        <time>{view.time}</time>
      </header>
      <main>
        <h1>
          {view.station}: {view.says}
        </h1>
        <p class="big">
          {view.value === null ? null : (
            <b class="figure">
              <ValueText value={view.value} unit={view.unit} />
            </b>
          )}{" "}
          <span>{view.against ?? ""}</span>
        </p>
        <p>{view.about}</p>
        {view.doFirst === null ? null : <p class="do-first">{view.doFirst}</p>}
        {state.offersTake ? <TakeButton flag={id} what={`${view.station} ${view.says}`} /> : null}
        <p role="status" class="state" data-state>
          {state.words}
        </p>
        {strip === null ? null : <Strip30 strip={strip} />}
        <nav class="links" aria-label="About this flag">
          {view.characteristic === null || view.fromPush ? null : (
            <a href={pages.evidence(view.characteristic, id)}>Why</a>
          )}
          {view.run === null || view.fromPush ? null : <a href={pages.run(view.run)}>Run Sheet</a>}
          <a href="/pocket">All that waits</a>
        </nav>
        {view.characteristic === null || view.fromPush || plant.value === null ? null : (
          <EarlierFlags characteristic={view.characteristic} zone={plant.value.zone} />
        )}
        <p class="light shown">{shownMs === undefined ? "not sent to this phone" : `shown ${clockTime(shownMs)}`}</p>
        <ReachWords />
      </main>
      <PocketFoot />
    </div>
  );
}

function viewOf(id: string, flag: WireFlag | null, strip: Strip | null): CardView | null {
  const news = plant.value;
  if (flag !== null && news !== null && reached.value !== false) {
    return liveCard(flag, strip?.characteristic ?? null, news.runWords.get(flag.station) ?? "run", news.zone);
  }
  const kept = own.value?.cards.get(id);
  if (kept !== undefined) return pushedCard(kept);
  return flag === null || news === null
    ? null
    : { ...liveCard(flag, null, news.runWords.get(flag.station) ?? "run", news.zone), fromPush: true };
}

function NoCard({ unknown }: { readonly unknown: boolean }): JSX.Element {
  return (
    <>
      <header class="pocket-top">
        <h1>Flag</h1>
        <a href="/pocket">All that waits</a>
      </header>
      <main>
        <p class="pocket-note">
          {unknown
            ? "There is no such flag."
            : reached.value === false
              ? "This flag was not sent to this phone, and the plant was not reached."
              : "Asking the plant about this flag…"}
        </p>
        <ReachWords />
      </main>
      <PocketFoot />
    </>
  );
}

function Strip30({ strip: { characteristic, points } }: { readonly strip: Strip }): JSX.Element {
  const flags = new Map(plant.value?.flags.map((one) => [one.id, one]));
  const model = stripModel(characteristic, points, flags, { width: 354, height: 100, right: 14, places: 30 });
  return (
    <figure class="strip30">
      <StripMark model={model} stale={false} />
      <figcaption class="light">
        Last {points.length} of {characteristic.station} {characteristic.name}
      </figcaption>
    </figure>
  );
}
