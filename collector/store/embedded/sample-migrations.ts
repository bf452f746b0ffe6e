import { fenceMigration } from "./fence.ts";
import type { Migration } from "./open-database.ts";

/** Shapes of `readings.sqlite`. Steps are only ever added: data in the field have taken the earlier ones. */
export const sampleMigrations: readonly Migration[] = [
  `
  CREATE TABLE series (id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE) STRICT;

  -- One row a reading. mark: 0 good, 1 uncertain, 2 bad; 4 more when it came late.
  CREATE TABLE sample (
    series INTEGER NOT NULL,
    t INTEGER NOT NULL,
    value REAL,
    mark INTEGER NOT NULL,
    attributes TEXT,
    PRIMARY KEY (series, t)
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE source (name TEXT PRIMARY KEY, newest INTEGER NOT NULL) STRICT, WITHOUT ROWID;
  CREATE TABLE station (name TEXT PRIMARY KEY, settled INTEGER NOT NULL) STRICT, WITHOUT ROWID;
  CREATE TABLE counter (name TEXT PRIMARY KEY, value INTEGER NOT NULL) STRICT, WITHOUT ROWID;

  CREATE TABLE snapshot (
    series INTEGER NOT NULL,
    t INTEGER NOT NULL,
    rate REAL NOT NULL,
    scale REAL NOT NULL,
    samples BLOB NOT NULL,
    PRIMARY KEY (series, t)
  ) STRICT;

  CREATE TABLE quarantined_message (
    id INTEGER PRIMARY KEY,
    received INTEGER NOT NULL,
    topic TEXT NOT NULL,
    bytes BLOB NOT NULL,
    size INTEGER NOT NULL
  ) STRICT;
  -- AUTOINCREMENT: a page reads on after an id, so an id is never given twice.
  CREATE TABLE quarantine (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    message INTEGER NOT NULL,
    code TEXT NOT NULL,
    place TEXT NOT NULL,
    detail TEXT NOT NULL
  ) STRICT;
  CREATE INDEX quarantine_message ON quarantine (message);
  `,
  `
  -- Readings of one series in time order, compressed (seal/block-code.ts), with what is needed to draw them from afar.
  CREATE TABLE block (
    id INTEGER PRIMARY KEY,
    series INTEGER NOT NULL,
    t0 INTEGER NOT NULL,
    t1 INTEGER NOT NULL,
    n INTEGER NOT NULL,
    valued INTEGER NOT NULL,
    min REAL,
    max REAL,
    sum REAL NOT NULL,
    bytes BLOB NOT NULL,
    UNIQUE (series, t0)
  ) STRICT;

  -- Sealed readings by the hour since 1970.
  CREATE TABLE hour (
    series INTEGER NOT NULL,
    hour INTEGER NOT NULL,
    n INTEGER NOT NULL,
    valued INTEGER NOT NULL,
    min REAL,
    max REAL,
    sum REAL NOT NULL,
    PRIMARY KEY (series, hour)
  ) STRICT, WITHOUT ROWID;
  `,
  `
  -- Where each counter of a source stands, and how many of its numbers never came.
  CREATE TABLE sequence (
    source TEXT NOT NULL,
    stream TEXT NOT NULL,
    newest INTEGER NOT NULL,
    missing INTEGER NOT NULL,
    time INTEGER NOT NULL,
    PRIMARY KEY (source, stream)
  ) STRICT, WITHOUT ROWID;
  `,
  `
  -- Up to where readings of a series were let go. Their hours stay, and what comes again for that time is not counted anew.
  CREATE TABLE gone (series INTEGER PRIMARY KEY, before INTEGER NOT NULL) STRICT;

  -- Bytes of a series' blocks, kept with them: to add them up is to read them all.
  CREATE TABLE volume (series INTEGER PRIMARY KEY, bytes INTEGER NOT NULL) STRICT;
  INSERT INTO volume (series, bytes) SELECT series, SUM(length(bytes)) FROM block GROUP BY series;
  `,
  `
  -- Numbers that were passed over, as JSON, and may still come or be shown: see sequence-gaps.ts.
  ALTER TABLE sequence ADD COLUMN holes TEXT NOT NULL DEFAULT '[]';

  -- What a part of ours must know after a restart, as JSON.
  CREATE TABLE remembered (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
  `,
  `
  -- Of a long-term store: up to where a series was copied, and before which time its count there was seen to be ours.
  CREATE TABLE forwarded (series INTEGER PRIMARY KEY, until INTEGER NOT NULL, seen INTEGER) STRICT;
  -- Stretches written behind that, or found missing there. AUTOINCREMENT: one that goes away is never taken for a later one.
  CREATE TABLE behind (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    series INTEGER NOT NULL,
    from_t INTEGER NOT NULL,
    to_t INTEGER NOT NULL
  ) STRICT;
  CREATE INDEX behind_series ON behind (series, from_t);
  -- Readings that it would not take, with what it said.
  CREATE TABLE refused_line (
    series INTEGER NOT NULL,
    t INTEGER NOT NULL,
    code TEXT NOT NULL,
    words TEXT NOT NULL,
    line TEXT NOT NULL,
    PRIMARY KEY (series, t)
  ) STRICT;
  `,
  `
  -- A checksum of what a block's head says (seal/head-sum.ts); null in blocks that were sealed without. From here on
  -- blocks may be of the second version.
  ALTER TABLE block ADD COLUMN head INTEGER;
  `,
  fenceMigration,
];
