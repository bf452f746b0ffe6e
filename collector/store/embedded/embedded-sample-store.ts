import { join } from "node:path";
import type { Database } from "better-sqlite3";
import type { SampleStore, SeriesPlaces } from "../sample-store.ts";
import { messageCommitter } from "./commit-messages.ts";
import { counters } from "./counters.ts";
import type { Fence } from "./fence.ts";
import { forwardTable } from "./forward-table.ts";
import { lateness } from "./lateness.ts";
import { openDatabase } from "./open-database.ts";
import { quarantineTable } from "./quarantine-table.ts";
import { recentRows } from "./recent-rows.ts";
import { LATE_MARK } from "./sample-mark.ts";
import { sampleMigrations } from "./sample-migrations.ts";
import { blockTable } from "./seal/block-table.ts";
import { countOf } from "./seal/count.ts";
import { hourTable } from "./seal/hour-table.ts";
import { goneTable, lettingGo } from "./seal/let-go.ts";
import { readMerged } from "./seal/read-merged.ts";
import { sealer } from "./seal/sealer.ts";
import { trendOf } from "./seal/trend.ts";
import { sequenceGaps } from "./sequence-gaps.ts";
import { seriesIds } from "./series-ids.ts";
import { snapshotTable } from "./snapshot-table.ts";
import { faultsOf, withFaults } from "./store-fault.ts";
import { sampleReads, toSample } from "./stored-rows.ts";

/** Newest rejections that are kept to be looked at; all are counted. */
const QUARANTINE_ROWS = 10_000;

export interface SampleStoreOptions {
  readonly quarantineRows?: number;
  /** Readings stay until a long-term store was seen to hold them. */
  readonly holdForLongTerm?: boolean;
  /** Of a pair of collectors: writes go through as long as no other one has taken over. */
  readonly fence?: Fence;
}

/** Opens the readings of a data folder. One process writes: hold `lockDataFolder` first. */
export function openSampleStore(folder: string, places: SeriesPlaces, options: SampleStoreOptions = {}): SampleStore {
  const file = join(folder, "readings.sqlite");
  const db = openDatabase(file, sampleMigrations, options.fence);
  try {
    return withFaults(file, () => sampleStore(db, file, places, options));
  } catch (error) {
    db.close();
    throw error;
  }
}

function sampleStore(db: Database, file: string, places: SeriesPlaces, options: SampleStoreOptions): SampleStore {
  const guarded = <T>(work: () => T): T => withFaults(file, work);

  const ids = seriesIds(db);
  const late = lateness(db, places);
  const snapshots = snapshotTable(db, ids);
  const quarantine = quarantineTable(db, options.quarantineRows ?? QUARANTINE_ROWS);
  const counts = counters(db);
  const blocks = blockTable(db);
  const gone = goneTable(db);
  const hours = hourTable(db, gone);
  const settledUntil = (series: number): number => late.settledUntil(ids.name(series));
  const { openRows, newestRow, openCount } = sampleReads(db, blocks);
  const recent = recentRows((series) => newestRow(series)?.[0], blocks.sealedUntil);
  const sealing = sealer(db, { blocks, hours, recent, settledUntil });
  const forward = forwardTable(db, ids, blocks);
  const mayGoBefore = options.holdForLongTerm === true ? forward.mayGoBefore : () => Number.POSITIVE_INFINITY;
  const letting = lettingGo(db, { blocks, hours, gone, settledUntil, mayGoBefore });
  let letGoCount = 0;
  const gaps = sequenceGaps(db);
  const remembered = db.prepare<[string], { value: string }>("SELECT value FROM remembered WHERE name = ?");
  const remember = db.prepare(
    "INSERT INTO remembered (name, value) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET value = excluded.value",
  );
  const pragma = (name: string): number => db.pragma(name, { simple: true }) as number;
  const pageBytes = pragma("page_size");

  const tables = { ids, late, snapshots, quarantine, counts, blocks, sealer: sealing, gaps, recent, forward };
  const commit = messageCommitter(db, tables);

  return {
    commit: (messages) => guarded(() => commit(messages)),
    settle: late.settle,
    read: ({ series, fromMs, toMs }, { includeLate = false, limit = -1 } = {}) =>
      guarded(() => {
        const id = ids.find(series);
        if (id === undefined) return [];
        const ask = { fromMs, toMs, markBelow: includeLate ? 2 * LATE_MARK : LATE_MARK, limit };
        const held = recent.read(id, series, ask);
        return held ?? readMerged(blocks, id, ask, openRows(id)).map((row) => toSample(series, row));
      }),
    latest: (series) =>
      guarded(() => {
        const id = ids.find(series);
        const row = id === undefined ? undefined : newestRow(id);
        return row === undefined ? undefined : toSample(series, row);
      }),
    trend: ({ series, fromMs, toMs }, columns) =>
      guarded(() => {
        const id = ids.find(series);
        return id === undefined
          ? []
          : trendOf({ blocks, hours, gone, open: openRows(id) }, id, { fromMs, toMs }, columns);
      }),
    count: ({ series, fromMs, toMs }, byHour) =>
      guarded(() => {
        const id = ids.find(series);
        return id === undefined ? 0 : countOf({ blocks, hours, gone, open: openCount }, id, { fromMs, toMs }, byHour);
      }),
    sealSome: () => guarded(sealing.sealSome),
    lost: () =>
      blocks.damaged().map(({ series, t0, t1, why }) => ({ series: ids.name(series), fromMs: t0, toMs: t1, why })),
    seriesNames: ids.names,
    sealed: () =>
      guarded(() =>
        [...blocks.volumes()].flatMap(([id, bytes]) => {
          const oldest = blocks.oldest(id);
          return oldest === undefined ? [] : [{ series: ids.name(id), bytes, fromMs: oldest.t0, toMs: oldest.t1 }];
        }),
      ),
    usedBytes: () => guarded(() => pageBytes * (pragma("page_count") - pragma("freelist_count"))),
    letGo: (what, series, beforeMs) =>
      guarded(() => {
        const id = ids.find(series);
        if (id === undefined) return { count: 0, more: false };
        const done = letting[what](id, beforeMs);
        recent.forget(id);
        if (what === "readings") letGoCount += done.count;
        return done;
      }),
    letGoCount: () => letGoCount,
    keptFrom: (series) => gone.before(ids.find(series) ?? -1),
    forwarding: faultsOf(file, forward.book),
    newestBySource: late.newestBySource,
    lateSources: late.lateSources,
    snapshots: (asked) => guarded(() => snapshots.read(asked)),
    pruneSnapshots: (asked, keepMs) => guarded(() => snapshots.prune(asked, keepMs)),
    quarantine: (page) => guarded(() => quarantine.read(page)),
    sequenceGaps: gaps.missing,
    missingStretches: gaps.stretches,
    remembered: (name) =>
      guarded(() => {
        const row = remembered.get(name);
        return row === undefined ? undefined : JSON.parse(row.value);
      }),
    remember: (name, value) => guarded(() => void remember.run(name, JSON.stringify(value))),
    counts: counts.read,
    close: () => {
      try {
        guarded(() => commit([]));
      } finally {
        db.close();
      }
    },
  };
}
