import type { Bus } from "../collector/platform/bus.ts";
import type { Clock } from "../collector/platform/clock.ts";
import type { Actor, ChangeRecord } from "../collector/store/change-record.ts";
import type { Journal } from "../collector/store/journal.ts";
import type { JournalEntry } from "../spc/model/journal-entry.ts";

export interface Decisions {
  /** Writes that a person took a flag, unless somebody did or it is done. */
  take(flag: FlagPlace, by: Actor): Decided;
  /** Writes that a person closed a flag, unless it is closed. Who closes what nobody took has taken it as well. */
  done(flag: FlagPlace, by: Actor, cause: string, note: string): Decided;
}

export interface FlagPlace {
  readonly id: string;
  readonly station: string;
}

/** `theirs`: somebody else was first, and nothing was written. `again`: it stood there already, by the same name. */
export type Decided = "written" | "again" | "theirs";

/**
 * What people decide of flags. Whether they may is read from the journal itself, inside the transaction that writes,
 * because another process of this host may have written a moment ago.
 */
export function decisions(parts: {
  readonly journal: Journal;
  readonly bus: Bus;
  readonly clock: Clock;
  readonly access: { readonly record: ChangeRecord };
}): Decisions {
  const { journal, bus, clock } = parts;
  const { record } = parts.access;
  const written = (work: () => Decided): Decided => {
    const decided = journal.transaction(work);
    if (decided === "written") bus.announce("journal");
    return decided;
  };
  const takenBy = (flag: string): string | null => {
    const entry = journal.find(takenId(flag));
    return entry?.kind === "taken" ? entry.body.by : null;
  };
  const taken = ({ id, station }: FlagPlace, by: string, atMs: number): JournalEntry => ({
    ...{ id: takenId(id), station, subject: id, atMs },
    ...{ kind: "taken", body: { flag: id, by, atMs } },
  });

  return {
    take: (flag, by) =>
      written(() => {
        if (journal.find(doneId(flag.id)) !== undefined) return "theirs";
        const holder = takenBy(flag.id);
        if (holder !== null) return holder === by.name ? "again" : "theirs";
        journal.append([taken(flag, by.name, clock.nowMs())]);
        record.append({ kind: "flag-taken", subject: flag.id, old: null, new: { by: by.name }, reason: "", by });
        return "written";
      }),
    done: (flag, by, cause, note) =>
      written(() => {
        if (journal.find(doneId(flag.id)) !== undefined) return "theirs";
        const atMs = clock.nowMs();
        const { id, station } = flag;
        const entry: JournalEntry = {
          ...{ id: doneId(id), station, subject: id, atMs },
          ...{ kind: "done", body: { flag: id, by: by.name, atMs, cause, note } },
        };
        const holder = takenBy(id);
        journal.append(holder === null ? [taken(flag, by.name, atMs), entry] : [entry]);
        const old = { taken: holder };
        record.append({ kind: "flag-done", subject: id, old, new: { cause, note }, reason: cause, by });
        return "written";
      }),
  };
}

/** Ids follow from the flag, so of two that write at once the journal keeps the first. */
function takenId(flag: string): string {
  return `${flag}/taken`;
}

function doneId(flag: string): string {
  return `${flag}/done`;
}
