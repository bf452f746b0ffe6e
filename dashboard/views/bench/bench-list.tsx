import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import { useEffect, useRef } from "preact/hooks";
import type { WireBenchList } from "../../../api/contract/bench-wire.ts";
import { pages } from "../../client/paths.ts";
import { BenchRulerMark } from "../../marks/bench-ruler-mark.tsx";
import { Glyph } from "../../marks/glyph.tsx";
import { needSentence, needWords } from "../../model/bench-words.ts";

type Item = WireBenchList["items"][number];

/** Every chart by need, each with the one ruler beside it. */
export function BenchList(props: { readonly items: readonly Item[]; readonly here: string | null }): JSX.Element {
  const find = useSignal("");
  const words = find.value.toLowerCase().split(/\s+/).filter(Boolean);
  const shown = props.items.filter(({ characteristic: one }) => {
    const text = `${one.id} ${one.station} ${one.name} ${one.part ?? ""} ${one.stage}`.toLowerCase();
    return words.every((word) => text.includes(word));
  });
  const list = useRef<HTMLElement>(null);
  useEffect(() => showHere(list.current), [props.here]);
  return (
    <nav class="bench-list" aria-label="Charts by need" ref={list}>
      {props.here === null ? null : (
        <button type="button" class="skip" onClick={() => document.getElementById("bench-chart")?.focus()}>
          Skip the list
        </button>
      )}
      <label class="find">
        <span class="unseen">Find a chart</span>
        <input
          type="search"
          placeholder="Find a chart"
          value={find.value}
          onInput={(event) => (find.value = event.currentTarget.value)}
        />
      </label>
      <ul>
        {shown.map((item) => (
          <Row key={item.characteristic.id} item={item} here={item.characteristic.id === props.here} />
        ))}
      </ul>
      {shown.length === 0 ? (
        <p class="note">
          {props.items.length === 0 ? "No charts yet. The settings name what is charted." : "No chart of that name."}
        </p>
      ) : (
        <p class="light order">
          Sorted by need: open flags, signals of the last week, limits to look at again, charts that could have limits
          and have none, then the rest by its newest value's distance to the nearer limit in sigma.
        </p>
      )}
    </nav>
  );
}

/** Scrolls the list, and never the page, to the chart that is shown where that is out of sight. */
function showHere(list: HTMLElement | null): void {
  const row = list?.querySelector<HTMLElement>("[aria-current=page]");
  if (list == null || row == null || list.scrollHeight <= list.clientHeight) return;
  const at = row.getBoundingClientRect().top - list.getBoundingClientRect().top;
  if (at < 0 || at > list.clientHeight - 2 * row.clientHeight) list.scrollTop += at - list.clientHeight / 2;
}

function Row({ item, here }: { readonly item: Item; readonly here: boolean }): JSX.Element {
  const { characteristic: one, flag } = item;
  return (
    <li data-chart={one.id} data-need={item.need}>
      <a href={pages.bench(one.id)} aria-current={here ? "page" : undefined}>
        <span class="sign">{flag === null ? null : <Glyph label={flag.label} px={20} />}</span>
        <span class="name">
          <b>{one.station}</b> {one.name}
          {one.part === null ? null : <span class="light"> {one.part}</span>}
        </span>
        <BenchRulerMark values={item.ruler} limits={item.limits} />
        <span class="need light">
          {needWords(item)}
          {item.proposals === 0 ? null : <b> · proposed</b>}
        </span>
        <span class="unseen">, {needSentence(item)}</span>
      </a>
    </li>
  );
}
