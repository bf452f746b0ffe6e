import type { Journal, JournalQuery } from "../../collector/store/journal.ts";
import type { StoredEntry } from "../../spc/model/journal-entry.ts";

/** A journal in memory, by the words of its port: append-only, the first entry of an id wins. */
export function memoryJournal(): Journal {
  const entries: StoredEntry[] = [];
  const ids = new Map<string, StoredEntry>();
  const checkpoints = new Map<string, string>();
  return {
    append: (added) =>
      added.flatMap((entry) => {
        if (ids.has(entry.id)) return [];
        const stored: StoredEntry = { ...structuredClone(entry), seq: entries.length + 1 };
        entries.push(stored);
        ids.set(entry.id, stored);
        return [stored];
      }),
    read: (query) => selected(entries, query),
    find: (id) => ids.get(id),
    lastSeq: () => entries.length,
    count: (kind, upToSeq) => entries.slice(0, upToSeq).filter((entry) => entry.kind === kind).length,
    subjects: (kind, beginning) =>
      [...new Set(entries.filter((entry) => entry.kind === kind).map(({ subject }) => subject))]
        .filter((subject) => subject.startsWith(beginning) && subject !== beginning)
        .sort(),
    transaction: (work) => work(),
    checkpoint: (name) => {
      const state = checkpoints.get(name);
      return state === undefined ? undefined : JSON.parse(state);
    },
    saveCheckpoint: (name, state) => void checkpoints.set(name, JSON.stringify(state)),
    close: () => undefined,
  };
}

function selected(entries: readonly StoredEntry[], query: JournalQuery): readonly StoredEntry[] {
  const { kinds, station, subject, afterSeq = 0, beforeSeq = Number.POSITIVE_INFINITY } = query;
  const { fromMs = Number.NEGATIVE_INFINITY, toMs = Number.POSITIVE_INFINITY } = query;
  const found = entries.slice(afterSeq).filter((entry) => {
    if (query.importedRuns === true) {
      if (entry.kind !== "run" || !entry.body.imported) return false;
    } else if (kinds !== undefined && !kinds.includes(entry.kind)) return false;
    if (station !== undefined && entry.station !== station) return false;
    if (subject !== undefined && entry.subject !== subject) return false;
    return entry.seq < beforeSeq && entry.atMs >= fromMs && entry.atMs < toMs;
  });
  if (query.orderBy === "time") found.sort((a, b) => a.atMs - b.atMs || a.seq - b.seq);
  if (query.newestFirst === true) found.reverse();
  return found.slice(0, query.limit ?? found.length);
}
