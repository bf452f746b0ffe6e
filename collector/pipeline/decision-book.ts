import type { Applied, StoredEntry } from "../../spc/model/journal-entry.ts";
import type { JournalNews } from "./journal-news.ts";

/** A decision that the pipeline must take in: limits agreed on, or a flag that is done. */
export type DecisionEntry = Extract<StoredEntry, { kind: "limits" | "done" }>;

/** A station's decisions by characteristic, and where in its points each took effect, as far as that is written. */
export interface DecisionBook {
  /** The decision that takes effect at this place, or undefined. `recorded`: its place is in the journal already. */
  next(
    characteristic: string,
    place: { readonly applied: number; readonly afterRun: string | null },
  ): { readonly entry: DecisionEntry; readonly recorded: boolean } | undefined;
  /** Notes the place that an `applied` entry of the same transaction gives the decision. */
  place(applied: Applied): void;
}

/**
 * Each decision takes effect once, at a place among its characteristic's points. The first time, that is where the
 * points had come to; a replay finds the place in the journal and waits for it, and takes no newer decision before.
 */
export function decisionBook(news: JournalNews, station: string): DecisionBook {
  const decisions = new Map<string, DecisionEntry[]>();
  const placed = new Map<string, Applied[]>();
  const placedIds = new Set<string>();

  const note = (applied: Applied): void => {
    listOf(placed, applied.characteristic).push(applied);
    placedIds.add(applied.entry);
  };
  news.listen(station, (entry) => {
    if (entry.kind === "applied") {
      if (!placedIds.has(entry.body.entry)) note(entry.body);
    } else if (entry.kind === "limits") listOf(decisions, entry.body.characteristic).push(entry);
    else if (entry.kind === "done") listOf(decisions, characteristicOfFlag(entry.body.flag)).push(entry);
  });
  return {
    next: (characteristic, { applied, afterRun }) => {
      const all = decisions.get(characteristic) ?? [];
      const wanted = placed.get(characteristic)?.[applied];
      if (wanted !== undefined) {
        const entry = wanted.afterRun === afterRun ? all.find((one) => one.id === wanted.entry) : undefined;
        return entry === undefined ? undefined : { entry, recorded: true };
      }
      const fresh = all.find((one) => !placedIds.has(one.id));
      return fresh === undefined ? undefined : { entry: fresh, recorded: false };
    },
    place: note,
  };
}

/** A flag is named after its characteristic and the time of its first run. */
export function characteristicOfFlag(flag: string): string {
  return flag.slice(0, flag.lastIndexOf(":"));
}

function listOf<T>(lists: Map<string, T[]>, key: string): T[] {
  const list = lists.get(key) ?? [];
  lists.set(key, list);
  return list;
}
