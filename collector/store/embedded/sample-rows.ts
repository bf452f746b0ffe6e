import type { Database, Statement } from "better-sqlite3";
import { isLateMark } from "./sample-mark.ts";

/** Rows a statement takes: a call into SQLite costs more than a row, so readings go in by the dozen. */
const ROWS_AT_ONCE = 64;
const COLUMNS = 5;
const MARK = 3;

/** Writes samples, keeping the first of a (series, time); counts how many were new. */
export interface SampleRows {
  add(series: number, tMs: number, value: number | null, mark: number, attributes: string | null): void;
  /** Writes what is still held; returns how many rows were new since the last call, and how many of these late. */
  finish(): { readonly fresh: number; readonly late: number };
  /** Drops what is still held, after a failure. */
  forget(): void;
}

export function sampleRows(db: Database): SampleRows {
  const many = insertStatement(db, ROWS_AT_ONCE);
  const one = insertStatement(db, 1);
  const held: (number | string | null)[] = new Array(ROWS_AT_ONCE * COLUMNS).fill(null);
  let used = 0;
  let lateHeld = false;
  let fresh = 0;
  let late = 0;

  const writeHeld = (): void => {
    if (used === held.length && !lateHeld) fresh += many.run(held).changes;
    else for (let i = 0; i < used; i += COLUMNS) writeOne(held.slice(i, i + COLUMNS));
    used = 0;
    lateHeld = false;
  };
  const writeOne = (row: (number | string | null)[]): void => {
    const { changes } = one.run(row);
    fresh += changes;
    if (isLateMark(row[MARK] as number)) late += changes;
  };
  return {
    add: (series, tMs, value, mark, attributes) => {
      held[used] = series;
      held[used + 1] = tMs;
      held[used + 2] = value;
      held[used + 3] = mark;
      held[used + 4] = attributes;
      used += COLUMNS;
      // Which of many were new SQLite does not say, so a late one has them written one by one.
      if (isLateMark(mark)) lateHeld = true;
      if (used === held.length) writeHeld();
    },
    finish: () => {
      writeHeld();
      const count = { fresh, late };
      fresh = late = 0;
      return count;
    },
    forget: () => {
      used = fresh = late = 0;
      lateHeld = false;
    },
  };
}

function insertStatement(db: Database, rows: number): Statement<unknown[]> {
  const values = new Array(rows).fill("(?, ?, ?, ?, ?)").join(", ");
  return db.prepare<unknown[]>(`INSERT OR IGNORE INTO sample (series, t, value, mark, attributes) VALUES ${values}`);
}
