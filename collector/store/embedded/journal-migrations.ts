import { noRow } from "../change-record.ts";
import { fenceMigration } from "./fence.ts";
import type { Migration } from "./open-database.ts";

export const IMPORTED_RUN = "kind = 'run' AND json_extract(body, '$.imported') = 1";

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
  // Who may come in, and who changed what. Of tokens only hashes are kept.
  `
  CREATE TABLE account (
    id TEXT PRIMARY KEY,
    name TEXT NOT NULL UNIQUE,
    role TEXT NOT NULL,
    password TEXT,
    pin TEXT,
    made_ms INTEGER NOT NULL,
    off_ms INTEGER
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE session (
    hash TEXT PRIMARY KEY,
    former TEXT,
    account TEXT NOT NULL,
    shared INTEGER NOT NULL,
    device TEXT NOT NULL,
    made_ms INTEGER NOT NULL,
    turned_ms INTEGER NOT NULL,
    seen_ms INTEGER NOT NULL,
    until_ms INTEGER NOT NULL
  ) STRICT, WITHOUT ROWID;
  CREATE INDEX session_former ON session (former);
  CREATE INDEX session_account ON session (account);

  CREATE TABLE one_time_link (
    hash TEXT PRIMARY KEY,
    account TEXT,
    until_ms INTEGER NOT NULL,
    used_ms INTEGER
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE access_key (
    id TEXT PRIMARY KEY,
    hash TEXT NOT NULL UNIQUE,
    kind TEXT NOT NULL,
    name TEXT NOT NULL,
    page TEXT,
    scopes TEXT NOT NULL,
    made_ms INTEGER NOT NULL,
    used_ms INTEGER,
    gone_ms INTEGER
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE change_record (
    n INTEGER PRIMARY KEY,
    at_ms INTEGER NOT NULL,
    clock TEXT NOT NULL,
    kind TEXT NOT NULL,
    subject TEXT NOT NULL,
    person TEXT NOT NULL,
    name TEXT NOT NULL,
    role TEXT NOT NULL,
    device TEXT NOT NULL,
    old TEXT NOT NULL,
    new TEXT NOT NULL,
    reason TEXT NOT NULL,
    before TEXT NOT NULL UNIQUE,
    hash TEXT NOT NULL UNIQUE
  ) STRICT;
  CREATE INDEX change_kind ON change_record (kind);
  CREATE INDEX change_person ON change_record (person);
  CREATE INDEX change_subject ON change_record (subject);
  CREATE INDEX change_time ON change_record (at_ms);

  CREATE TRIGGER change_is_never_changed BEFORE UPDATE ON change_record
  BEGIN SELECT RAISE(ABORT, 'rows of the Change Record are never changed'); END;
  CREATE TRIGGER change_is_never_deleted BEFORE DELETE ON change_record
  BEGIN SELECT RAISE(ABORT, 'rows of the Change Record are never deleted'); END;
  CREATE TRIGGER change_follows_the_one_before BEFORE INSERT ON change_record
  WHEN NEW.n IS NOT (SELECT coalesce(max(n), 0) + 1 FROM change_record)
    OR NEW.before IS NOT coalesce((SELECT hash FROM change_record ORDER BY n DESC LIMIT 1), '${noRow}')
  BEGIN SELECT RAISE(ABORT, 'a row of the Change Record follows the newest one'); END;
  `,
  // What an account answers for, as JSON; an empty list is the whole plant.
  "ALTER TABLE account ADD COLUMN areas TEXT NOT NULL DEFAULT '[]'",
  fenceMigration,
  // A start reads the imported runs of months, and of the others only the newest.
  `CREATE INDEX entry_imported_run ON entry (seq) WHERE ${IMPORTED_RUN}`,
];
