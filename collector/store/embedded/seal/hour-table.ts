import type { Database } from "better-sqlite3";
import type { BlockRows } from "./block-code.ts";
import { summary } from "./block-table.ts";
import type { GoneTable } from "./let-go.ts";

export const HOUR_MS = 3_600_000;

export interface Hour {
  readonly hour: number;
  readonly n: number;
  readonly valued: number;
  readonly min: number | null;
  readonly max: number | null;
  readonly sum: number;
}

/** Sealed readings by the hour: what a year is drawn from. */
export interface HourTable {
  /** Inside a transaction: counts readings that were neither sealed nor let go before. */
  add(series: number, rows: BlockRows): void;
  read(series: number, fromMs: number, toMs: number): readonly Hour[];
}

/** SQL's way to write infinity: a sum that no double holds stays so, whatever is added. */
const PAST_ALL = "9e999";

export function hourTable(db: Database, gone: GoneTable): HourTable {
  const put = db.prepare(`
    INSERT INTO hour (series, hour, n, valued, min, max, sum) VALUES (?, ?, ?, ?, ?, ?, ?)
    ON CONFLICT (series, hour) DO UPDATE SET
      n = n + excluded.n,
      valued = valued + excluded.valued,
      min = CASE WHEN min IS NULL OR excluded.min < min THEN coalesce(excluded.min, min) ELSE min END,
      max = CASE WHEN max IS NULL OR excluded.max > max THEN coalesce(excluded.max, max) ELSE max END,
      sum = CASE WHEN abs(sum + excluded.sum) < ${PAST_ALL} THEN sum + excluded.sum ELSE ${PAST_ALL} END`);
  // As lists, of which SQLite makes a year in half the time that it needs for objects.
  type Row = readonly [hour: number, n: number, valued: number, min: number | null, max: number | null, sum: number];
  const select = db
    .prepare<[number, number, number], Row>(
      "SELECT hour, n, valued, min, max, sum FROM hour WHERE series = ? AND hour >= ? AND hour < ? ORDER BY hour",
    )
    .raw();
  return {
    add: (series, { times, values }) => {
      for (let from = 0; from < times.length; ) {
        const hour = Math.floor(times[from]! / HOUR_MS);
        let to = from + 1;
        while (to < times.length && Math.floor(times[to]! / HOUR_MS) === hour) to += 1;
        // What was let go is counted already, and nobody can tell whether this is the same again.
        while (from < to && times[from]! < gone.before(series)) from += 1;
        if (from < to) {
          const { valued, min, max, sum } = summary(values, from, to);
          put.run(series, hour, to - from, valued, min, max, sum);
        }
        from = to;
      }
    },
    read: (series, fromMs, toMs) =>
      select
        .all(series, Math.floor(fromMs / HOUR_MS), Math.ceil(toMs / HOUR_MS))
        .map(([hour, n, valued, min, max, sum]) => ({ hour, n, valued, min, max, sum })),
  };
}
