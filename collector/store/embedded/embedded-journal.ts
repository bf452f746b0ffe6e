import { join } from "node:path";
import type { Database, Statement } from "better-sqlite3";
import type { JournalEntry, StoredEntry } from "../../../spc/model/journal-entry.ts";
import { systemClock } from "../../platform/clock.ts";
import { clockState } from "../../platform/clock-state.ts";
import type { ChangeRecord } from "../change-record.ts";
import type { Journal } from "../journal.ts";
import type { PeopleBook } from "../people-book.ts";
import { changeRecord } from "./embedded-change-record.ts";
import { peopleBook } from "./embedded-people-book.ts";
import type { Fence } from "./fence.ts";
import { journalMigrations } from "./journal-migrations.ts";
import { journalSelect } from "./journal-select.ts";
import { openDatabase } from "./open-database.ts";
import { withFaults } from "./store-fault.ts";

interface Row {
  readonly seq: number;
  readonly id: string;
  readonly kind: string;
  readonly station: string;
  readonly subject: string;
  readonly at_ms: number;
  readonly body: string;
}

/** Behind every letter that a name may have. */
const LAST_LETTER = "\u{10ffff}";

/** The journal and what goes with a decision into the same transaction. */
export interface JournalFile {
  readonly journal: Journal;
  readonly people: PeopleBook;
  readonly record: ChangeRecord;
}

/** Opens the journal of a data folder alone. */
export function openJournal(folder: string): Journal {
  return openJournalFile(folder).journal;
}

/** Opens the journal's file of a data folder; the product and its commands may have it open at the same time. */
export function openJournalFile(folder: string, fence?: Fence): JournalFile {
  const file = join(folder, "journal.sqlite");
  const db = openDatabase(file, journalMigrations, fence);
  const guarded = <T>(work: () => T): T => withFaults(file, work);

  const insert = db.prepare(
    "INSERT OR IGNORE INTO entry (id, kind, station, subject, at_ms, body) VALUES (?, ?, ?, ?, ?, ?)",
  );
  const byId = db.prepare<[string], Row>("SELECT * FROM entry WHERE id = ?");
  const last = db.prepare<[], number>("SELECT coalesce(max(seq), 0) FROM entry").pluck();
  const countOf = db
    .prepare<[string, number], number>("SELECT COUNT(*) FROM entry WHERE kind = ? AND seq <= ?")
    .pluck();
  // Called once for each subject that there is, it looks at no entry between two of them.
  const nextSubject = db
    .prepare<[string, string, string], string>(
      "SELECT subject FROM entry WHERE subject > ? AND subject < ? AND +kind = ? ORDER BY subject LIMIT 1",
    )
    .pluck();
  const getState = db.prepare<[string], string>("SELECT state FROM checkpoint WHERE name = ?").pluck();
  const putState = db.prepare(
    "INSERT INTO checkpoint (name, state) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET state = excluded.state",
  );
  const select = cachedStatements(db);

  const appendAll = (entries: readonly JournalEntry[]): StoredEntry[] =>
    entries.flatMap((entry) => {
      const body = JSON.stringify(entry.body);
      const done = insert.run(entry.id, entry.kind, entry.station, entry.subject, entry.atMs, body);
      return done.changes === 0 ? [] : [{ ...entry, seq: Number(done.lastInsertRowid) }];
    });
  /** Immediate, so that two processes wait for one another instead of failing half-way. */
  const transaction = <T>(work: () => T): T =>
    guarded(() => (db.inTransaction ? work() : db.transaction(work).immediate()));

  const journal: Journal = {
    append: (entries) => (entries.length === 0 ? [] : transaction(() => appendAll(entries))),
    read: (query) =>
      guarded(() => {
        const { sql, args } = journalSelect(query);
        return select(sql)
          .all(...args)
          .map(toEntry);
      }),
    find: (id) =>
      guarded(() => {
        const row = byId.get(id);
        return row === undefined ? undefined : toEntry(row);
      }),
    lastSeq: () => guarded(() => last.get() ?? 0),
    count: (kind, upToSeq) => guarded(() => countOf.get(kind, upToSeq) ?? 0),
    subjects: (kind, beginning) =>
      guarded(() => {
        const found: string[] = [];
        const next = () => nextSubject.get(found.at(-1) ?? beginning, `${beginning}${LAST_LETTER}`, kind);
        for (let subject = next(); subject !== undefined; subject = next()) found.push(subject);
        return found;
      }),
    transaction,
    checkpoint: (name) =>
      guarded(() => {
        const state = getState.get(name);
        return state === undefined ? undefined : JSON.parse(state);
      }),
    saveCheckpoint: (name, state) => guarded(() => void putState.run(name, JSON.stringify(state))),
    close: () => void db.close(),
  };
  const now = () => {
    const nowMs = systemClock.nowMs();
    return { nowMs, clock: clockState(nowMs) };
  };
  return {
    journal,
    people: peopleBook(db, { guarded, transaction }),
    record: changeRecord(db, { guarded, transaction, now }),
  };
}

function toEntry(row: Row): StoredEntry {
  const { seq, id, kind, station, subject, at_ms: atMs, body } = row;
  // The body was checked when it was written: entries are never changed.
  return { seq, id, kind, station, subject, atMs, body: JSON.parse(body) } as StoredEntry;
}

/** Queries differ in their conditions only, so a few dozen statements serve for good. */
function cachedStatements(db: Database): (sql: string) => Statement<unknown[], Row> {
  const statements = new Map<string, Statement<unknown[], Row>>();
  return (sql) => {
    const statement = statements.get(sql) ?? db.prepare<unknown[], Row>(sql);
    statements.set(sql, statement);
    return statement;
  };
}
