import { join } from "node:path";
import type { Database } from "better-sqlite3";
import { openDatabase } from "../../collector/store/embedded/open-database.ts";
import { sampleMigrations } from "../../collector/store/embedded/sample-migrations.ts";
import { type BlockTable, blockTable } from "../../collector/store/embedded/seal/block-table.ts";
import { fitBlock } from "../../collector/store/embedded/seal/fit-blocks.ts";
import { type HourTable, hourTable } from "../../collector/store/embedded/seal/hour-table.ts";
import { goneTable } from "../../collector/store/embedded/seal/let-go.ts";
import { type SensorKind, sensorRows } from "./plant-series.ts";

/** Rows made and written at once. */
export const SENSOR_CHUNK = 400_000;
export const SERIES = 1;

/** A file with one long series, as blocks with their hours, or in the plain table. */
export interface SeriesFile {
  readonly db: Database;
  readonly blocks: BlockTable;
  readonly hours: HourTable;
  /** Bytes that the readings take, their index included. */
  readonly bytes: number;
  /** Bytes of their hours, which stay when the readings are let go. */
  readonly hourBytes: number;
}

/** Written by the same functions that seal, without the detour over the open table: a year takes a minute so. */
export function sealedFile(folder: string, kind: SensorKind, fromMs: number, count: number): SeriesFile {
  const db = openDatabase(join(folder, "sealed.sqlite"), sampleMigrations);
  const blocks = blockTable(db);
  const hours = hourTable(db, goneTable(db));
  const empty = usedBytes(db);
  let density = 1;
  const write = db.transaction((rows: ReturnType<typeof sensorRows>) => {
    for (let from = 0; from < rows.times.length; ) {
      const block = fitBlock(rows, from, density, true)!;
      blocks.insert(SERIES, block.rows, block.bytes);
      hours.add(SERIES, block.rows);
      density = block.bytes.length / block.rows.times.length;
      from += block.rows.times.length;
    }
  });
  eachChunk(kind, fromMs, count, write);
  const hourBytes = bytesOf(db, "hour");
  return { db, blocks, hours, bytes: usedBytes(db) - empty - hourBytes, hourBytes };
}

export function plainFile(folder: string, kind: SensorKind, fromMs: number, count: number): SeriesFile {
  const db = openDatabase(join(folder, "plain.sqlite"), sampleMigrations);
  const empty = usedBytes(db);
  const insert = db.prepare("INSERT INTO sample (series, t, value, mark) VALUES (?, ?, ?, 0)");
  const write = db.transaction(({ times, values }: ReturnType<typeof sensorRows>) => {
    for (let i = 0; i < times.length; i += 1) insert.run(SERIES, times[i], values[i]);
  });
  eachChunk(kind, fromMs, count, write);
  const gone = goneTable(db);
  return { db, blocks: blockTable(db), hours: hourTable(db, gone), bytes: usedBytes(db) - empty, hourBytes: 0 };
}

function eachChunk(
  kind: SensorKind,
  fromMs: number,
  count: number,
  write: (rows: ReturnType<typeof sensorRows>) => void,
): void {
  for (let from = 0; from < count; from += SENSOR_CHUNK) {
    write(sensorRows(kind, from + 1, fromMs + from * kind.everyMs, Math.min(SENSOR_CHUNK, count - from)));
  }
}

function usedBytes(db: Database): number {
  const pragma = (name: string): number => db.pragma(name, { simple: true }) as number;
  return pragma("page_size") * (pragma("page_count") - pragma("freelist_count"));
}

function bytesOf(db: Database, table: string): number {
  return db.prepare<[string], number>("SELECT SUM(pgsize) FROM dbstat WHERE name = ?").pluck().get(table) ?? 0;
}
