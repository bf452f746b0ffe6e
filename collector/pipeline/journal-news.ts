import type { StoredEntry } from "../../spc/model/journal-entry.ts";
import type { Journal } from "../store/journal.ts";

/** Kinds of entry that stations learn from the journal. */
const kinds = ["limits", "done", "applied", "instrument", "set-up", "set-up-heard"] as const;

/** What the journal gained, read once for all stations and handed to the one that it is of. */
export interface JournalNews {
  /** Hands over every entry of the station, old ones too; said before the first `refresh`. */
  listen(station: string, take: (entry: StoredEntry) => void): void;
  /** Takes in what the journal gained; called inside the transaction that may add to it. */
  refresh(): void;
}

export function journalNews(journal: Journal): JournalNews {
  const listeners = new Map<string, ((entry: StoredEntry) => void)[]>();
  let seq = 0;
  return {
    listen: (station, take) => {
      listeners.set(station, [...(listeners.get(station) ?? []), take]);
    },
    refresh: () => {
      const last = journal.lastSeq();
      if (last === seq) return;
      for (const entry of journal.read({ kinds, afterSeq: seq })) {
        for (const take of listeners.get(entry.station) ?? []) take(entry);
      }
      seq = last;
    },
  };
}
