import type { JournalEntry, StoredEntry, Unseen } from "../../spc/model/journal-entry.ts";
import { freeTime, shiftAt } from "../../spc/segment/working-time.ts";
import type { Site } from "../platform/settings/site.ts";
import { unseenEntry } from "../store/entries.ts";
import type { Journal } from "../store/journal.ts";

export interface UnseenWatch {
  /** Flags whose shift has ended before anybody took them. */
  look(nowMs: number): readonly JournalEntry[];
}

/** A flag that nobody has taken, and the end of the shift in which it opened. */
type Waiting = Omit<Unseen, "foundMs">;

const kinds = ["signal", "silence", "instrument", "common", "taken", "done", "unseen"] as const;

/**
 * Watches for flags that outlive their shift untaken. A clock decides it, so the finding goes into the journal, where a
 * replay takes it as it is; the first of a flag stands. A flag counts from when it was found, for nobody could have
 * taken it before.
 */
export function unseenWatch({ shiftClock }: Pick<Site, "shiftClock">, journal: Journal): UnseenWatch {
  const waiting = new Map<string, Waiting>();
  const known = new Set<string>();
  let seq = 0;

  const opened = (flag: string, station: string, foundMs: number): void => {
    if (known.has(flag)) return;
    known.add(flag);
    // What opens in free time is for the shift that comes.
    const shift = shiftAt(freeTime(foundMs, shiftClock)?.endMs ?? foundMs, shiftClock);
    if (shift !== null) waiting.set(flag, { flag, station, shift: shift.name, endedMs: shift.endMs });
  };
  const note = (entry: StoredEntry): void => {
    if (entry.kind === "signal") opened(entry.body.signal.flag, entry.station, entry.body.foundMs);
    else if (entry.kind === "silence") opened(entry.body.flag, entry.station, entry.body.foundMs);
    else if (entry.kind === "instrument" || entry.kind === "common")
      opened(entry.body.flag, entry.station, entry.body.foundMs);
    else if (entry.kind === "taken" || entry.kind === "done" || entry.kind === "unseen")
      waiting.delete(entry.body.flag);
  };

  return {
    look: (nowMs) => {
      const last = journal.lastSeq();
      if (last !== seq) for (const entry of journal.read({ kinds: [...kinds], afterSeq: seq })) note(entry);
      seq = last;
      const over = [...waiting.values()].filter(({ endedMs }) => endedMs <= nowMs);
      for (const { flag } of over) waiting.delete(flag);
      return over.map((one) => unseenEntry({ ...one, foundMs: nowMs }));
    },
  };
}
