import type { JournalEntry } from "../../spc/model/journal-entry.ts";
import { type SaidAt, type SaidSetUp, saidAt } from "../../spc/segment/set-ups.ts";
import { setUpHeardEntry, setUpId } from "../store/entries.ts";
import type { Journal } from "../store/journal.ts";
import type { JournalNews } from "./journal-news.ts";

/** What people say is set up at a station, and from which sample on its runs know of it. */
export interface SetUpBook {
  /** What was not heard of before is known from this source time on: the entries that say so. */
  hear(cursorMs: number): readonly JournalEntry[];
  readonly said: SaidAt;
}

/**
 * A set-up is known from the sample on that was the next to be cut when it was first read. That place is an entry itself,
 * so a replay cuts the same samples knowing the same.
 */
export function setUpBook(news: JournalNews, station: string): SetUpBook {
  /** In the order of writing. */
  const all = new Map<string, Omit<SaidSetUp, "heardMs">>();
  const heardMs = new Map<string, number>();
  /** Those of which it is known from where on they are known; null once there is more. */
  let known: readonly SaidSetUp[] | null = [];

  news.listen(station, (entry) => {
    if (entry.kind === "set-up-heard") {
      if (!heardMs.has(entry.body.setUp)) heardMs.set(entry.body.setUp, entry.body.heardMs);
    } else if (entry.kind === "set-up") {
      const { words, fromMs, instead } = entry.body;
      const id = setUpId(entry.id);
      all.set(id, { id, words, fromMs, instead });
    } else return;
    known = null;
  });
  const heard = (): readonly SaidSetUp[] => {
    known ??= [...all.values()].flatMap((one) => {
      const atMs = heardMs.get(one.id);
      return atMs === undefined ? [] : [{ ...one, heardMs: atMs }];
    });
    return known;
  };
  return {
    hear: (cursorMs) => {
      if (heard().length === all.size) return [];
      const fresh = [...all.keys()].filter((id) => !heardMs.has(id));
      for (const id of fresh) heardMs.set(id, cursorMs);
      known = null;
      return fresh.map((setUp) => setUpHeardEntry(station, { setUp, heardMs: cursorMs }));
    },
    said: (startMs, heardByMs) => {
      const said = heard();
      return said.length === 0 ? nothing : saidAt(said, startMs, heardByMs);
    },
  };
}

/** All that people have said of a station by now, whenever it became known. */
export function allSaid(journal: Journal, station: string): readonly SaidSetUp[] {
  return journal.read({ kinds: ["set-up"], station }).flatMap((entry) => {
    if (entry.kind !== "set-up") return [];
    const { words, fromMs, instead } = entry.body;
    return [{ id: setUpId(entry.id), words, fromMs, instead, heardMs: 0 }];
  });
}

const nothing: ReturnType<SaidAt> = {};
