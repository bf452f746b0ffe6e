import type { EntryBody } from "../model/journal-entry.ts";
import { joinCommon, openByCommon } from "./common-flag.ts";
import type { FlagState, FlagTable } from "./flag.ts";
import { joinInstrument, openByInstrument } from "./instrument-flag.ts";
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
    const flags = flagsAfter(now, entry);
    if (flags.length === 0) continue;
    // Copied once for all entries: a start over a long journal folds some hundred thousand of them.
    changed ??= new Map(table);
    for (const flag of flags) changed.set(flag.id, flag);
  }
  return changed ?? table;
}

function flagsAfter(table: FlagTable, entry: FlagEntry): readonly FlagState[] {
  const flag = flagAfter(table, entry);
  if (entry.kind !== "common") return flag === null ? [] : [flag];
  const child = table.get(entry.body.child);
  // Its own history goes on: it only knows what it stands under.
  const under = child === undefined || child.parent !== undefined ? [] : [{ ...child, parent: entry.body.flag }];
  return flag === null ? under : [flag, ...under];
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
    case "instrument": {
      const flag = table.get(entry.body.flag);
      if (flag !== undefined) return joinInstrument(flag, entry.body);
      return entry.body.state === "began" ? openByInstrument(entry.body, table.size + 1) : null;
    }
    case "common": {
      const flag = table.get(entry.body.flag);
      return flag === undefined ? openByCommon(entry.body, table.size + 1) : joinCommon(flag, entry.body);
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
