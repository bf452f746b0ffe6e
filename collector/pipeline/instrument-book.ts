import type { InstrumentNews, JournalEntry } from "../../spc/model/journal-entry.ts";
import { compactTime, instrumentEntry } from "../store/entries.ts";
import type { Journal } from "../store/journal.ts";

/** Which flag a fault of an instrument opens or joins. */
export interface InstrumentBook {
  /** Takes in what the journal gained; called inside the transaction that may add to it. */
  refresh(): void;
  /** The entry of a fault that began or is over. */
  entry(news: Omit<InstrumentNews, "flag">): JournalEntry;
}

/**
 * One flag an instrument at a time: a fault joins the one that is still open on it, whichever check found it, and only a
 * person closes it. What the journal holds already stays as it is, so a replay finds the same flags.
 */
export function instrumentBook(journal: Journal, station: string): InstrumentBook {
  const flags = new Map<string, string>();
  const done = new Set<string>();
  let seq = 0;

  const flagOf = ({ series, state, sinceMs }: Omit<InstrumentNews, "flag">): string => {
    const known = flags.get(series);
    if (known !== undefined && (state === "ended" || !done.has(known))) return known;
    return `${series.replaceAll("/", ".")}:fault:${compactTime(sinceMs)}`;
  };
  return {
    refresh: () => {
      const last = journal.lastSeq();
      if (last === seq) return;
      for (const entry of journal.read({ kinds: ["instrument", "done"], station, afterSeq: seq })) {
        if (entry.kind === "done") done.add(entry.body.flag);
        else if (entry.kind === "instrument") flags.set(entry.body.series, entry.body.flag);
      }
      seq = last;
    },
    entry: (news) => {
      const made = instrumentEntry({ ...news, flag: flagOf(news) });
      const written = journal.find(made.id) ?? made;
      if (written.kind === "instrument") flags.set(news.series, written.body.flag);
      return written === made ? made : instrumentEntry((written as { body: InstrumentNews }).body);
    },
  };
}
