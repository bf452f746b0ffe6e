import type { Database } from "better-sqlite3";
import type { LetGo } from "../../sample-store.ts";
import type { BlockTable } from "./block-table.ts";
import type { HourTable } from "./hour-table.ts";

/** What one transaction lets go at most: it holds the writer for some milliseconds. */
const ROWS_AT_ONCE = 5_000;
const BLOCKS_AT_ONCE = 64;
const SNAPSHOTS_AT_ONCE = 64;

/** Up to where readings of a series were let go; -Infinity when none were. */
export interface GoneTable {
  before(series: number): number;
  /** Inside a transaction. */
  raise(series: number, beforeMs: number): void;
  reload(): void;
}

export function goneTable(db: Database): GoneTable {
  const put = db.prepare(
    "INSERT INTO gone (series, before) VALUES (?, ?) ON CONFLICT (series) DO UPDATE SET before = excluded.before",
  );
  const all = db.prepare<[], { series: number; before: number }>("SELECT series, before FROM gone");
  const known = new Map<number, number>();
  const reload = (): void => {
    known.clear();
    for (const { series, before } of all.iterate()) known.set(series, before);
  };
  reload();
  const before = (series: number): number => known.get(series) ?? Number.NEGATIVE_INFINITY;
  return {
    before,
    raise: (series, beforeMs) => {
      if (beforeMs <= before(series)) return;
      put.run(series, beforeMs);
      known.set(series, beforeMs);
    },
    reload,
  };
}

export interface LettingGo {
  /** Readings of a series before a time, the oldest first, some of them; their hours stay. */
  readings(series: number, beforeMs: number): LetGo;
  snapshots(series: number, beforeMs: number): LetGo;
}

/**
 * Lets old readings go. Open ones first, each counted in its hour: from then on whatever is older than the bound is in
 * the roll-up already, so whole blocks can go unread, and a reading that is sent again is not counted twice.
 */
export function lettingGo(
  db: Database,
  parts: {
    readonly blocks: BlockTable;
    readonly hours: HourTable;
    readonly gone: GoneTable;
    /** Up to where a series is cut into runs: what is still to be cut never goes. */
    settledUntil(series: number): number;
    /** Before which time readings are kept elsewhere as well, where they have to be. */
    mayGoBefore(series: number): number;
  },
): LettingGo {
  const { blocks, hours, gone, settledUntil, mayGoBefore } = parts;
  const open = db
    .prepare<[number, number, number], readonly [tMs: number, value: number | null]>(
      "SELECT t, value FROM sample WHERE series = ? AND t < ? ORDER BY t LIMIT ?",
    )
    .raw();
  const drop = db.prepare("DELETE FROM sample WHERE series = ? AND t <= ?");
  const dropSnapshots = db.prepare(
    "DELETE FROM snapshot WHERE rowid IN (SELECT rowid FROM snapshot WHERE series = ? AND t < ? ORDER BY t LIMIT ?)",
  );

  const openBefore = (series: number, beforeMs: number): number => {
    const rows = open.all(series, beforeMs, ROWS_AT_ONCE);
    const last = rows.at(-1);
    if (last === undefined) return 0;
    const [times, values] = [rows.map(([tMs]) => tMs), rows.map(([, value]) => value)];
    hours.add(series, { times, values, marks: [] });
    drop.run(series, last[0]);
    gone.raise(series, last[0] + 1);
    return rows.length;
  };

  const readings = db.transaction((series: number, askedMs: number): LetGo => {
    const beforeMs = Math.min(askedMs, settledUntil(series), mayGoBefore(series));
    const rows = openBefore(series, beforeMs);
    if (rows === ROWS_AT_ONCE) return { count: rows, more: true };
    const old = blocks.endedBefore(series, beforeMs, BLOCKS_AT_ONCE);
    for (const { id } of old) blocks.remove(id);
    if (old.length > 0) gone.raise(series, beforeMs);
    const count = rows + old.reduce((sum, { n }) => sum + n, 0);
    return { count, more: old.length === BLOCKS_AT_ONCE };
  });

  return {
    readings: (series, beforeMs) => {
      const met = blocks.damageMet();
      try {
        return readings.immediate(series, beforeMs);
      } catch (error) {
        blocks.reload();
        gone.reload();
        if (blocks.damageMet() === met) throw error;
        return { count: 0, more: true };
      }
    },
    snapshots: (series, beforeMs) => {
      const { changes } = dropSnapshots.run(series, Math.min(beforeMs, settledUntil(series)), SNAPSHOTS_AT_ONCE);
      return { count: changes, more: changes === SNAPSHOTS_AT_ONCE };
    },
  };
}
