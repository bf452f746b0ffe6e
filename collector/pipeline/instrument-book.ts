import type { InstrumentNews, JournalEntry } from "../../spc/model/journal-entry.ts";
import { compactTime, instrumentEntry } from "../store/entries.ts";
import type { Journal } from "../store/journal.ts";
import type { JournalNews } from "./journal-news.ts";

/** Which flag a fault of an instrument opens or joins. */
export interface InstrumentBook {
  /** The entry of a fault that began or is over. */
  entry(news: Omit<InstrumentNews, "flag">): JournalEntry;
}

/**
 * One flag an instrument at a time: a fault joins the one that is still open on it, whichever check found it, and only a
 * person closes it. What the journal holds already stays as it is, so a replay finds the same flags.
 */
export function instrumentBook(journal: Journal, news: JournalNews, station: string): InstrumentBook {
  const flags = new Map<string, string>();
  const done = new Set<string>();

  const flagOf = ({ series, state, sinceMs }: Omit<InstrumentNews, "flag">): string => {
    const known = flags.get(series);
    if (known !== undefined && (state === "ended" || !done.has(known))) return known;
    return `${series.replaceAll("/", ".")}:fault:${compactTime(sinceMs)}`;
  };
  news.listen(station, (entry) => {
    if (entry.kind === "done") done.add(entry.body.flag);
    else if (entry.kind === "instrument") flags.set(entry.body.series, entry.body.flag);
  });
  return {
    entry: (found) => {
      const made = instrumentEntry({ ...found, flag: flagOf(found) });
      const written = journal.find(made.id) ?? made;
      if (written.kind === "instrument") flags.set(found.series, written.body.flag);
      return written === made ? made : instrumentEntry((written as { body: InstrumentNews }).body);
    },
  };
}
