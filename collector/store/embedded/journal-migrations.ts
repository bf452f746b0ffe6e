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
  // Devices and what became of each message on each: they change, so they stand beside the journal.
  `
  CREATE TABLE device (
    id TEXT PRIMARY KEY,
    person TEXT NOT NULL,
    name TEXT NOT NULL,
    secret TEXT NOT NULL,
    endpoint TEXT UNIQUE,
    p256dh TEXT,
    auth TEXT,
    added_ms INTEGER NOT NULL,
    gone_ms INTEGER,
    gone_why TEXT
  ) STRICT, WITHOUT ROWID;
  CREATE INDEX device_person ON device (person);

  CREATE TABLE delivery (
    message TEXT NOT NULL,
    device TEXT NOT NULL,
    queued_ms INTEGER NOT NULL,
    expires_ms INTEGER NOT NULL,
    due_ms INTEGER,
    attempts INTEGER NOT NULL DEFAULT 0,
    sent_ms INTEGER,
    answer TEXT,
    accepted_ms INTEGER,
    shown_ms INTEGER,
    opened_ms INTEGER,
    failed_ms INTEGER,
    reason TEXT,
    PRIMARY KEY (message, device)
  ) STRICT, WITHOUT ROWID;
  CREATE INDEX delivery_due ON delivery (due_ms) WHERE due_ms IS NOT NULL;
  CREATE INDEX delivery_device ON delivery (device, queued_ms);
  `,
];
