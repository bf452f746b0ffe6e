import type { Database } from "better-sqlite3";
import type { StoredSample } from "../sample-store.ts";
import { LATE_MARK, markQuality } from "./sample-mark.ts";
import type { BlockTable } from "./seal/block-table.ts";
import type { OpenCount } from "./seal/count.ts";
import { type ReadAsk, type ReadRow, readMerged } from "./seal/read-merged.ts";

/** How rows of readings are asked for, by who writes and who only reads. */
export interface SampleReads {
  /** The rows of a series that are not sealed. */
  openRows(series: number): (ask: ReadAsk) => readonly ReadRow[];
  newestRow(series: number): ReadRow | undefined;
  readonly openCount: OpenCount;
}

export function sampleReads(db: Database, blocks: BlockTable): SampleReads {
  const range = db
    .prepare<[number, number, number, number, number], ReadRow>(
      "SELECT t, value, mark, attributes FROM sample WHERE series = ? AND t >= ? AND t < ? AND mark < ? ORDER BY t LIMIT ?",
    )
    .raw();
  const newest = db
    .prepare<[number], ReadRow>(
      "SELECT t, value, mark, attributes FROM sample WHERE series = ? ORDER BY t DESC LIMIT 1",
    )
    .raw();
  const span = "FROM sample WHERE series = ? AND t >= ? AND t < ?";
  const number = db.prepare<[number, number, number], number>(`SELECT COUNT(*) ${span}`).pluck();
  const times = db.prepare<[number, number, number], number>(`SELECT t ${span}`).pluck();
  const openRows: SampleReads["openRows"] =
    (series) =>
    ({ fromMs, toMs, markBelow, limit }) =>
      range.all(series, fromMs, toMs, markBelow, limit);
  return {
    openRows,
    openCount: {
      count: (series, fromMs, toMs) => number.get(series, fromMs, toMs)!,
      times: (series, fromMs, toMs) => times.all(series, fromMs, toMs),
    },
    newestRow: (series) => {
      const open = newest.get(series);
      const sealed = blocks.sealedUntil(series);
      if (open !== undefined && open[0] > sealed) return open;
      const ask = { fromMs: sealed, toMs: sealed + 1, markBelow: 2 * LATE_MARK, limit: 1 };
      return readMerged(blocks, series, ask, openRows(series))[0] ?? open;
    },
  };
}

export function toSample(series: string, [tMs, value, mark, attributes]: ReadRow): StoredSample {
  return sampleOf(series, tMs, value, mark, attributes);
}

export function sampleOf(
  series: string,
  tMs: number,
  value: number | null,
  mark: number,
  attributes: string | null,
): StoredSample {
  const sample = { series, tMs, value, quality: markQuality(mark), late: mark >= LATE_MARK };
  return attributes === null ? sample : { ...sample, attributes: JSON.parse(attributes) };
}
