import { join } from "node:path";
import type { SampleStore, SeriesPlaces, StoredSample } from "../sample-store.ts";
import { messageCommitter } from "./commit-messages.ts";
import { counters } from "./counters.ts";
import { lateness } from "./lateness.ts";
import { openDatabase } from "./open-database.ts";
import { quarantineTable } from "./quarantine-table.ts";
import { LATE_MARK, markQuality } from "./sample-mark.ts";
import { sampleMigrations } from "./sample-migrations.ts";
import { seriesIds } from "./series-ids.ts";
import { snapshotTable } from "./snapshot-table.ts";
import { withFaults } from "./store-fault.ts";

/** Newest rejections that are kept to be looked at; all are counted. */
const QUARANTINE_ROWS = 10_000;

type Row = readonly [tMs: number, value: number | null, mark: number, attributes: string | null];

/** Opens the readings of a data folder. One process writes: hold `lockDataFolder` first. */
export function openSampleStore(
  folder: string,
  places: SeriesPlaces,
  options: { readonly quarantineRows?: number } = {},
): SampleStore {
  const file = join(folder, "readings.sqlite");
  const db = openDatabase(file, sampleMigrations);
  const guarded = <T>(work: () => T): T => withFaults(file, work);

  const ids = seriesIds(db);
  const late = lateness(db, places);
  const snapshots = snapshotTable(db, ids);
  const quarantine = quarantineTable(db, options.quarantineRows ?? QUARANTINE_ROWS);
  const counts = counters(db);
  const commit = messageCommitter(db, { ids, late, snapshots, quarantine, counts });
  const range = db
    .prepare<[number, number, number, number, number], Row>(
      "SELECT t, value, mark, attributes FROM sample WHERE series = ? AND t >= ? AND t < ? AND mark < ? ORDER BY t LIMIT ?",
    )
    .raw();
  const newest = db
    .prepare<[number], Row>("SELECT t, value, mark, attributes FROM sample WHERE series = ? ORDER BY t DESC LIMIT 1")
    .raw();

  return {
    commit: (messages) => guarded(() => commit(messages)),
    settle: late.settle,
    read: ({ series, fromMs, toMs }, { includeLate = false, limit = -1 } = {}) =>
      guarded(() => {
        const id = ids.find(series);
        if (id === undefined) return [];
        const below = includeLate ? 2 * LATE_MARK : LATE_MARK;
        return range.all(id, fromMs, toMs, below, limit).map((row) => toSample(series, row));
      }),
    latest: (series) =>
      guarded(() => {
        const id = ids.find(series);
        const row = id === undefined ? undefined : newest.get(id);
        return row === undefined ? undefined : toSample(series, row);
      }),
    newestBySource: late.newestBySource,
    snapshots: (asked) => guarded(() => snapshots.read(asked)),
    pruneSnapshots: (asked, keepMs) => guarded(() => snapshots.prune(asked, keepMs)),
    quarantine: (page) => guarded(() => quarantine.read(page)),
    counts: counts.read,
    close: () => {
      try {
        commit([]);
      } finally {
        db.close();
      }
    },
  };
}

function toSample(series: string, [tMs, value, mark, attributes]: Row): StoredSample {
  const sample = { series, tMs, value, quality: markQuality(mark), late: mark >= LATE_MARK };
  return attributes === null ? sample : { ...sample, attributes: JSON.parse(attributes) };
}
