import type { JSX } from "preact";
import { useEffect } from "preact/hooks";
import type { WireInstrumentList } from "../../../api/contract/instrument-wire.ts";
import { pages, paths } from "../../client/paths.ts";
import { picture } from "../../client/picture-store.ts";
import { amend } from "../../client/route.ts";
import {
  filteredInstruments,
  type InstrumentFilter,
  instrumentFilter,
  instrumentSearch,
  instrumentStates,
  stateWord,
} from "../../model/instrument-words.ts";
import { counted, sentenceCase } from "../../model/numbers.ts";
import { FilterChoice } from "../shell/filter-choice.tsx";
import { NotNewest } from "../shell/not-newest.tsx";
import { Trouble } from "../shell/trouble.tsx";
import { useAnswer } from "../shell/use-answer.ts";
import { WaitingFor } from "../shell/waiting-for.tsx";
import { InstrumentRow } from "./instrument-row.tsx";
import { LongTermNote } from "./long-term-note.tsx";

/** Readings grow old without any news, so the list is asked for again so often. */
const againMs = 10_000;

/** Every instrument, the worst first: can what it says be believed? */
export function InstrumentsPage({ search }: { readonly search: string }): JSX.Element {
  const { answer, again } = useAnswer<WireInstrumentList>(paths.instruments);
  useEffect(() => {
    const timer = setInterval(again, againMs);
    return () => clearInterval(timer);
  }, [again]);
  const zone = picture.value?.floor.site.zone ?? null;
  const { value, trouble, refused } = answer.value;
  if (value === null || zone === null) {
    if (trouble !== null) return <Trouble what="No list of instruments" why={trouble} refused={refused} />;
    return (
      <WaitingFor what="Instruments">
        <div class="outline instruments-outline" />
      </WaitingFor>
    );
  }
  const filter = instrumentFilter(search);
  const choose = (next: InstrumentFilter): void => amend(pages.instruments(instrumentSearch(next)));
  const stations = [...new Set(value.items.map(({ station }) => station))].sort();
  const shown = filteredInstruments(value.items, filter);
  const count = (state: string): number => value.items.filter((one) => one.state === state).length;
  return (
    <article class="instruments-page">
      <header class="title">
        <h1>
          <b>Instruments</b>
        </h1>
        <p class="light" role="status">
          {counted(value.items.length, "instrument")}: {count("fault")} at fault, {count("silent")} without news,{" "}
          {count("undecided")} undecided, {count("due")} overdue for calibration
        </p>
        <FilterChoice
          name="Station"
          options={stations}
          chosen={filter.station}
          choose={(station) => choose({ ...filter, station })}
        />
        <FilterChoice
          name="State"
          options={instrumentStates}
          words={(state) => sentenceCase(stateWord(state))}
          chosen={filter.state}
          choose={(state) => choose({ ...filter, state })}
        />
      </header>
      <NotNewest trouble={trouble} />
      {value.items.length === 0 ? (
        <p class="note">No instruments yet. The settings name what is measured.</p>
      ) : shown.length === 0 ? (
        <p class="note">
          No instrument is so. <a href={pages.instruments()}>Show all</a>
        </p>
      ) : (
        <ul class="instruments">
          {shown.map((one) => (
            <InstrumentRow key={one.series} one={one} zone={zone} />
          ))}
        </ul>
      )}
      <LongTermNote zone={zone} />
      <p class="light caution">
        A check that finds nothing does not make a reading true. Never open or enter a machine on a reading.
      </p>
    </article>
  );
}
