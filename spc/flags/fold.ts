import type { EntryBody } from "../model/journal-entry.ts";
import type { FlagState, FlagTable } from "./flag.ts";
import { joinSignal, openBySignal } from "./signal-flag.ts";
import { joinSilence, openBySilence } from "./silence-flag.ts";

/** Any journal entry: those that concern no flag change nothing. */
export type FlagEntry = EntryBody;

/** The table after one more entry. The one given is left as it was. */
export function applyEntry(table: FlagTable, entry: FlagEntry): FlagTable {
  return applyEntries(table, [entry]);
}

/**
 * The table after further entries, in journal order. First come, first served: a second *taken* of a flag changes
 * nothing, nor does anything a person says of a flag that is done or was never opened. Only *done* closes. A flag that
 * stayed unseen says so for good, though it may still be taken.
 */
export function applyEntries(table: FlagTable, entries: Iterable<FlagEntry>): FlagTable {
  let changed: Map<string, FlagState> | null = null;
  for (const entry of entries) {
    const now: FlagTable = changed ?? table;
    const flag = flagAfter(now, entry);
    if (flag === null) continue;
    // Copied once for all entries: a start over a long journal folds some hundred thousand of them.
    changed ??= new Map(table);
    changed.set(flag.id, flag);
  }
  return changed ?? table;
}

function flagAfter(table: FlagTable, entry: FlagEntry): FlagState | null {
  switch (entry.kind) {
    case "signal": {
      const flag = table.get(entry.body.signal.flag);
      if (flag !== undefined) return joinSignal(flag, entry.body);
      const { cameBackFrom } = entry.body.signal;
      const former = cameBackFrom === undefined ? undefined : table.get(cameBackFrom);
      return openBySignal(entry.body, table.size + 1, former);
    }
    case "silence": {
      const flag = table.get(entry.body.flag);
      return flag === undefined ? openBySilence(entry.body, table.size + 1) : joinSilence(flag, entry.body);
    }
    case "taken": {
      const flag = table.get(entry.body.flag);
      if (flag?.state !== "waiting") return null;
      const { by, atMs } = entry.body;
      return { ...flag, state: "taken", taken: { by, atMs } };
    }
    case "done": {
      const flag = table.get(entry.body.flag);
      if (flag === undefined || flag.state === "done") return null;
      const { by, atMs, cause, note } = entry.body;
      return { ...flag, state: "done", done: { by, atMs, cause, note } };
    }
    case "unseen": {
      const flag = table.get(entry.body.flag);
      // Taken between the clock's look and its entry: somebody has seen it after all.
      if (flag?.state !== "waiting" || flag.unseen !== null) return null;
      return { ...flag, unseen: { shift: entry.body.shift, atMs: entry.body.endedMs } };
    }
    default:
      return null;
  }
}
