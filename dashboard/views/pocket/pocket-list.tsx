import type { JSX } from "preact";
import { Glyph } from "../../marks/glyph.tsx";
import { byUrgency } from "../../model/flag-words.ts";
import { type CardView, liveCard, pushedCard, stateWords } from "../../pocket/card-view.ts";
import { own, plant, reached } from "../../pocket/pocket-state.ts";
import { ValueText } from "../shell/value-text.tsx";
import { PocketFoot } from "./pocket-app.tsx";
import { ReachWords } from "./reach-words.tsx";

/** What waits, most urgent first; without a connection, what was sent to this phone. */
export function PocketList(): JSX.Element {
  const views = shown();
  const device = own.value?.device;
  return (
    <>
      <header class="pocket-top">
        <h1>Pocket</h1>
        <a href="/pocket/set-up">{device === undefined ? "Set this phone up" : `Messages for ${device.personName}`}</a>
      </header>
      <main>
        {views === null ? (
          <p class="pocket-note">Asking the plant what is waiting…</p>
        ) : views.length === 0 ? (
          <p class="pocket-note">{reached.value === true ? "Nothing waiting" : "No message kept on this phone"}</p>
        ) : (
          <ul class="pocket-list">
            {views.map((view) => (
              <li key={view.flag} data-flag={view.flag}>
                <a href={`/pocket/flag/${encodeURIComponent(view.flag)}`}>
                  <Glyph label={view.label} />
                  <span class="what">
                    <b>
                      {view.station}: {view.says}
                    </b>
                    <span>
                      {view.value === null ? null : <ValueText value={view.value} unit={view.unit} />}{" "}
                      {view.against === null ? "" : `${view.against} · `}
                      {view.time}
                    </span>
                    <span class="light">{stateWords(view, own.value?.takes.get(view.flag)).words}</span>
                  </span>
                </a>
              </li>
            ))}
          </ul>
        )}
        <ReachWords />
      </main>
      <PocketFoot />
    </>
  );
}

function shown(): readonly CardView[] | null {
  const news = plant.value;
  if (news !== null && reached.value !== false) {
    return byUrgency(news.flags).map((flag) =>
      liveCard(flag, null, news.runWords.get(flag.station) ?? "run", news.zone),
    );
  }
  if (reached.value === null || own.value === null) return null;
  return [...own.value.cards.values()].sort((a, b) => b.receivedMs - a.receivedMs).map(pushedCard);
}
