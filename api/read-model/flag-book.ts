import { type FlagState, type FlagTable, noFlags } from "../../spc/flags/flag.ts";
import { applyEntries } from "../../spc/flags/fold.ts";
import { flagsInFloorOrder, flagsInListOrder } from "../../spc/flags/order.ts";
import type { Characteristic } from "../../spc/model/characteristic.ts";
import type { StoredEntry } from "../../spc/model/journal-entry.ts";
import type { SignalOn } from "../../spc/model/signal.ts";
import type { WireFlag } from "../contract/wire.ts";
import { wireFlag } from "./wire-flag.ts";

/** Every flag as it now stands, and which signal and run belongs to which. */
export interface FlagBook {
  apply(entries: readonly StoredEntry[]): void;
  find(id: string): WireFlag | undefined;
  inListOrder(): readonly WireFlag[];
  inFloorOrder(): readonly WireFlag[];
  /** Flag that a signal opened or joined. */
  ofSignals(signals: readonly string[]): string | null;
  ofRun(run: string): readonly WireFlag[];
  /** The flag that is open on a characteristic, or null. */
  openOn(characteristic: string): string | null;
  /** How the flag of a chart's signal stands; undefined when none of these is a chart's. */
  chartFlag(signals: readonly string[]): FlagState | undefined;
  states(): Iterable<FlagState>;
  /** Journal place at which a flag was closed; null while it is open. */
  closedSeq(id: string): number | null;
  readonly signals: number;
}

/** `beside`: what only other charts say of an open flag; asked anew each time, for they go on. */
export function flagBook(
  characteristic: (id: string) => Characteristic | null,
  beside: (flag: FlagState) => string | undefined = () => undefined,
): FlagBook {
  let table: FlagTable = noFlags;
  const bySignal = new Map<string, { readonly flag: string; readonly on: SignalOn }>();
  const byRun = new Map<string, Set<string>>();
  const open = new Map<string, string>();
  const closed = new Map<string, number>();
  /** A flag's state is never changed in place, so what was made of it stays right. */
  const made = new WeakMap<FlagState, WireFlag>();
  let lists: { readonly of: FlagTable; readonly list: readonly FlagState[] } | undefined;

  const wire = (flag: FlagState): WireFlag => {
    const words = beside(flag);
    return words === undefined ? alone(flag) : { ...alone(flag), beside: words };
  };
  const alone = (flag: FlagState): WireFlag => {
    const of = flag.characteristic === null ? null : characteristic(flag.characteristic);
    const known = made.get(flag) ?? wireFlag(flag, of);
    made.set(flag, known);
    return known;
  };
  const note = (entry: StoredEntry): void => {
    if (entry.kind === "done") {
      if (!closed.has(entry.body.flag)) closed.set(entry.body.flag, entry.seq);
      return;
    }
    if (entry.kind !== "signal") return;
    const { id, flag, run, on } = entry.body.signal;
    bySignal.set(id, { flag, on });
    byRun.set(run, (byRun.get(run) ?? new Set()).add(flag));
  };
  const noteOpen = (entry: StoredEntry): void => {
    const id = flagOf(entry);
    const flag = id === null ? undefined : table.get(id);
    if (flag === undefined || flag.characteristic === null) return;
    if (flag.state !== "done") open.set(flag.characteristic, flag.id);
    else if (open.get(flag.characteristic) === flag.id) open.delete(flag.characteristic);
  };

  return {
    apply: (entries) => {
      table = applyEntries(table, entries);
      for (const entry of entries) note(entry);
      for (const entry of entries) noteOpen(entry);
    },
    find: (id) => {
      const flag = table.get(id);
      return flag === undefined ? undefined : wire(flag);
    },
    inListOrder: () => {
      if (lists?.of !== table) lists = { of: table, list: flagsInListOrder(table) };
      return lists.list.map(wire);
    },
    inFloorOrder: () => flagsInFloorOrder(table).map(wire),
    ofSignals: (ids) => {
      const known = ids.find((id) => bySignal.has(id));
      return (known === undefined ? undefined : bySignal.get(known)?.flag) ?? null;
    },
    ofRun: (run) => [...(byRun.get(run) ?? [])].flatMap((id) => table.get(id) ?? []).map(wire),
    chartFlag: (ids) => {
      const known = ids.flatMap((id) => bySignal.get(id) ?? []).find(({ on }) => on !== "specification");
      return known === undefined ? undefined : table.get(known.flag);
    },
    openOn: (id) => open.get(id) ?? null,
    states: () => table.values(),
    closedSeq: (id) => closed.get(id) ?? null,
    get signals() {
      return bySignal.size;
    },
  };
}

/** Flag that an entry concerns, or null. */
export function flagOf(entry: StoredEntry): string | null {
  switch (entry.kind) {
    case "signal":
      return entry.body.signal.flag;
    case "taken":
    case "done":
    case "silence":
    case "instrument":
    case "common":
    case "unseen":
      return entry.body.flag;
    default:
      return null;
  }
}
