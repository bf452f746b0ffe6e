import type { JournalEntry } from "../../../spc/model/journal-entry.ts";

const hourMs = 3_600_000;

/** The person who closes flags: an hour after the last that joined one, at the full hour. */
export interface ShiftLead {
  hear(entries: readonly JournalEntry[]): void;
  /** What was done up to that time, in order. */
  doneBy(atMs: number): readonly JournalEntry[];
  characteristicOf(flag: string): string | undefined;
}

interface Open {
  readonly station: string;
  lastMs: number;
}

export function shiftLead(): ShiftLead {
  const open = new Map<string, Open>();
  const characteristics = new Map<string, string>();
  let lookedMs = 0;
  const note = (flag: string, station: string, atMs: number): void => {
    const known = open.get(flag);
    if (known === undefined) open.set(flag, { station, lastMs: atMs });
    else known.lastMs = Math.max(known.lastMs, atMs);
  };
  return {
    hear: (entries) => {
      for (const entry of entries) {
        if (entry.kind === "signal") {
          const { flag, station, characteristic, atMs } = entry.body.signal;
          characteristics.set(flag, characteristic);
          note(flag, station, atMs);
        } else if (entry.kind === "common") note(entry.body.flag, entry.body.station, entry.body.atMs);
        else if (entry.kind === "instrument" || entry.kind === "silence")
          note(entry.body.flag, entry.body.station, entry.atMs);
      }
    },
    doneBy: (atMs) => {
      const hour = Math.floor(atMs / hourMs) * hourMs;
      if (hour <= lookedMs) return [];
      lookedMs = hour;
      return [...open].flatMap(([flag, { station, lastMs }]): JournalEntry[] => {
        if (lastMs > hour - hourMs) return [];
        open.delete(flag);
        const body = { flag, by: "shift lead", atMs: hour, cause: "no cause found", note: "" };
        return [{ kind: "done", body, id: `done/${flag}`, station, subject: flag, atMs: hour }];
      });
    },
    characteristicOf: (flag) => characteristics.get(flag),
  };
}
