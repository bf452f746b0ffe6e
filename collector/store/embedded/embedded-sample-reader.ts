import { join } from "node:path";
import type { Database } from "better-sqlite3";
import type { SampleReader } from "../sample-store.ts";
import { counters } from "./counters.ts";
import { openDatabase } from "./open-database.ts";
import { quarantineTable } from "./quarantine-table.ts";
import { LATE_MARK } from "./sample-mark.ts";
import { sampleMigrations } from "./sample-migrations.ts";
import { blockTable } from "./seal/block-table.ts";
import { hourTable } from "./seal/hour-table.ts";
import { goneTable } from "./seal/let-go.ts";
import { readMerged } from "./seal/read-merged.ts";
import { trendOf } from "./seal/trend.ts";
import { sequenceGaps } from "./sequence-gaps.ts";
import { seriesIds } from "./series-ids.ts";
import { snapshotTable } from "./snapshot-table.ts";
import { withFaults } from "./store-fault.ts";
import { sampleReads, toSample } from "./stored-rows.ts";

/** Opens the readings of a data folder that another process writes; it may do so before, after and while that one runs. */
export function openSampleReader(folder: string): SampleReader {
  const file = join(folder, "readings.sqlite");
  // Whoever comes first gives the file its shape; of readings this process writes none.
  const db = openDatabase(file, sampleMigrations);
  try {
    db.pragma("query_only = ON");
    return withFaults(file, () => sampleReader(db, file));
  } catch (error) {
    db.close();
    throw error;
  }
}

function sampleReader(db: Database, file: string): SampleReader {
  const ids = seriesIds(db);
  const blocks = blockTable(db);
  const gone = goneTable(db);
  const hours = hourTable(db, gone);
  const counts = counters(db);
  const gaps = sequenceGaps(db);
  const snapshots = snapshotTable(db, ids);
  const quarantine = quarantineTable(db, 0);
  const { openRows, newestRow } = sampleReads(db, blocks);
  const pragma = (name: string): number => db.pragma(name, { simple: true }) as number;
  const pageBytes = pragma("page_size");
  let version = pragma("data_version");

  /** What is remembered and what is read are of one moment, though rows move from the open table into blocks meanwhile. */
  const within = <T>(work: () => T): T =>
    withFaults(file, () =>
      db.transaction(() => {
        const now = pragma("data_version");
        if (now !== version) {
          ids.reload();
          blocks.forget();
          gone.reload();
          counts.reload();
          gaps.reload();
          version = now;
        }
        return work();
      })(),
    );

  return {
    read: ({ series, fromMs, toMs }, { includeLate = false, limit = -1 } = {}) =>
      within(() => {
        const id = ids.find(series);
        if (id === undefined) return [];
        const ask = { fromMs, toMs, markBelow: includeLate ? 2 * LATE_MARK : LATE_MARK, limit };
        return readMerged(blocks, id, ask, openRows(id)).map((row) => toSample(series, row));
      }),
    latest: (series) =>
      within(() => {
        const id = ids.find(series);
        const row = id === undefined ? undefined : newestRow(id);
        return row === undefined ? undefined : toSample(series, row);
      }),
    trend: ({ series, fromMs, toMs }, columns) =>
      within(() => {
        const id = ids.find(series);
        return id === undefined
          ? []
          : trendOf({ blocks, hours, gone, open: openRows(id) }, id, { fromMs, toMs }, columns);
      }),
    keptFrom: (series) => within(() => gone.before(ids.find(series) ?? -1)),
    seriesNames: () => within(ids.names),
    usedBytes: () => within(() => pageBytes * (pragma("page_count") - pragma("freelist_count"))),
    snapshots: (asked) => within(() => snapshots.read(asked)),
    quarantine: (page) => within(() => quarantine.read(page)),
    counts: () => within(counts.read),
    sequenceGaps: () => within(gaps.missing),
    missingStretches: () => within(gaps.stretches),
    close: () => void db.close(),
  };
}
