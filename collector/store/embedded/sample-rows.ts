import type { Database, Statement } from "better-sqlite3";

/** Rows a statement takes: a call into SQLite costs more than a row, so readings go in by the dozen. */
const ROWS_AT_ONCE = 64;
const COLUMNS = 5;

/** Writes samples, keeping the first of a (series, time); counts how many were new. */
export interface SampleRows {
  add(series: number, tMs: number, value: number | null, mark: number, attributes: string | null): void;
  /** Writes what is still held; returns how many rows were new since the last call. */
  finish(): number;
  /** Drops what is still held, after a failure. */
  forget(): void;
}

export function sampleRows(db: Database): SampleRows {
  const many = insertStatement(db, ROWS_AT_ONCE);
  const one = insertStatement(db, 1);
  const held: (number | string | null)[] = new Array(ROWS_AT_ONCE * COLUMNS).fill(null);
  let used = 0;
  let fresh = 0;

  const writeHeld = (): void => {
    if (used === held.length) fresh += many.run(held).changes;
    else for (let i = 0; i < used; i += COLUMNS) fresh += one.run(held.slice(i, i + COLUMNS)).changes;
    used = 0;
  };
  return {
    add: (series, tMs, value, mark, attributes) => {
      held[used] = series;
      held[used + 1] = tMs;
      held[used + 2] = value;
      held[used + 3] = mark;
      held[used + 4] = attributes;
      used += COLUMNS;
      if (used === held.length) writeHeld();
    },
    finish: () => {
      writeHeld();
      const count = fresh;
      fresh = 0;
      return count;
    },
    forget: () => {
      used = 0;
      fresh = 0;
    },
  };
}

function insertStatement(db: Database, rows: number): Statement<unknown[]> {
  const values = new Array(rows).fill("(?, ?, ?, ?, ?)").join(", ");
  return db.prepare<unknown[]>(`INSERT OR IGNORE INTO sample (series, t, value, mark, attributes) VALUES ${values}`);
}
