import type { Migration } from "./open-database.ts";

/** Shapes of `journal.sqlite`. Steps are only ever added: data in the field have taken the earlier ones. */
export const journalMigrations: readonly Migration[] = [
  `
  CREATE TABLE entry (
    seq INTEGER PRIMARY KEY AUTOINCREMENT,
    id TEXT NOT NULL UNIQUE,
    kind TEXT NOT NULL,
    station TEXT NOT NULL,
    subject TEXT NOT NULL,
    at_ms INTEGER NOT NULL,
    body TEXT NOT NULL
  ) STRICT;
  CREATE INDEX entry_kind ON entry (kind);
  CREATE INDEX entry_kind_time ON entry (kind, at_ms);
  CREATE INDEX entry_station ON entry (station);
  CREATE INDEX entry_station_time ON entry (station, at_ms);
  CREATE INDEX entry_subject ON entry (subject);
  CREATE INDEX entry_subject_time ON entry (subject, at_ms);

  CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
  BEGIN SELECT RAISE(ABORT, 'journal entries are never changed'); END;
  CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry
  BEGIN SELECT RAISE(ABORT, 'journal entries are never deleted'); END;

  CREATE TABLE checkpoint (name TEXT PRIMARY KEY, state TEXT NOT NULL) STRICT, WITHOUT ROWID;
  `,
];
