import type { ChangeRow } from "../collector/store/change-record.ts";
import type { EntryKind, JournalEntry } from "../spc/model/journal-entry.ts";
import { limitsWords } from "./limits-change.ts";

/** What people decide, and nothing that follows from readings or clocks: each entry of these kinds has a row that speaks of it. */
export const decidedKinds: readonly EntryKind[] = [
  ...(["taken", "done", "limits", "proposed", "agreed", "withdrawn", "written-down", "corrected"] as const),
];

export interface Unmatched {
  /** Rows that speak of something the journal does not hold as they say it. */
  readonly rows: readonly { readonly n: number; readonly of: string }[];
  /** Decisions of the journal that no row speaks of as they stand there. */
  readonly entries: readonly { readonly id: string; readonly kind: string }[];
}

/**
 * Holds the two memories of what people did against each other: a row of the Change Record and its journal entry are written in
 * one transaction, so one without the other, or with other words, was not written by us. Imported runs are counted in
 * their row and not named, so they are left out.
 */
export function againstEachOther(rows: readonly ChangeRow[], entries: readonly JournalEntry[]): Unmatched {
  const decided = new Map(entries.flatMap((entry) => marksOfEntry(entry).map((mark) => [mark, entry] as const)));
  const told = new Set<string>();
  const unmatched: { n: number; of: string }[] = [];
  for (const row of rows) {
    const marks = marksOfRow(row);
    for (const mark of marks) told.add(mark);
    if (marks.some((mark) => !decided.has(mark) && !mark.startsWith(maybe))) {
      unmatched.push({ n: row.n, of: `${row.kind} ${row.subject}` });
    }
  }
  const alone = [...decided].filter(([mark]) => !told.has(mark) && !told.has(`${maybe}${mark}`));
  return {
    rows: unmatched.sort((a, b) => a.n - b.n),
    entries: alone.map(([, { id, kind }]) => ({ id, kind })),
  };
}

/** Before a mark: the row may speak of such an entry, and need not. */
const maybe = "? ";

function marksOfEntry(entry: JournalEntry): readonly string[] {
  switch (entry.kind) {
    case "taken":
      return [mark("taken", entry.body.flag, entry.body.by)];
    case "done":
      return [mark("done", entry.body.flag, entry.body.by, entry.body.cause, entry.body.note)];
    case "limits":
      return [mark("limits", entry.body.characteristic, limitsWords(entry.body))];
    case "proposed":
      return [mark("proposed", entry.body.proposal, entry.body.by.id, entry.body.reason)];
    case "agreed":
      return [mark("agreed", entry.body.proposal, entry.body.by.id)];
    case "withdrawn":
      return [mark("withdrawn", entry.body.proposal, entry.body.by.id, entry.body.reason)];
    case "written-down": {
      // Not by whom: who repeats a part of what stands there already, with the rest of it, writes only the rest.
      const { feature, takenMs, values, unit } = entry.body;
      return [mark("written-down", entry.station, takenMs, feature, values, unit)];
    }
    case "corrected":
      return [mark("corrected", entry.body.written, entry.body.values, entry.body.by, entry.body.reason)];
    default:
      return [];
  }
}

function marksOfRow({ kind, subject, by, reason, ...row }: ChangeRow): readonly string[] {
  // Rows were checked by their hashes before; what is of another shape all the same matches nothing.
  const [old, now] = [objectOf(row.old), objectOf(row.new)];
  switch (kind) {
    case "flag-taken":
      return [mark("taken", subject, by.name)];
    case "flag-done": {
      const done = mark("done", subject, by.name, now["cause"], now["note"]);
      // Who closes what nobody had taken has taken it as well.
      return old["taken"] === null ? [done, `${maybe}${mark("taken", subject, by.name)}`] : [done];
    }
    case "limits-set": {
      const { proposedBy: _, agreedBy: __, ...words } = now;
      return [mark("limits", subject, words)];
    }
    case "limits-proposed":
      return [mark("proposed", now["proposal"], by.id, reason)];
    case "limits-agreed": {
      const { proposal, proposedBy: _, ...words } = now;
      return [mark("agreed", proposal, by.id), mark("limits", subject, words)];
    }
    case "limits-withdrawn":
      return [mark("withdrawn", old["proposal"], by.id, reason)];
    case "values-written": {
      const takenMs = Date.parse(String(now["taken"]));
      const written = Array.isArray(now["values"]) ? now["values"].map(objectOf) : [];
      return written.map(({ feature, values, unit }) => mark("written-down", subject, takenMs, feature, values, unit));
    }
    case "values-corrected":
      return [mark("corrected", subject, now["values"], by.name, reason)];
    default:
      return [];
  }
}

function mark(...parts: readonly unknown[]): string {
  return JSON.stringify(parts);
}

function objectOf(value: unknown): Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null ? (value as Readonly<Record<string, unknown>>) : {};
}
