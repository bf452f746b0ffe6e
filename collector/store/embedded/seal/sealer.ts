import type { Database } from "better-sqlite3";
import type { RecentRows } from "../recent-rows.ts";
import type { BlockRows } from "./block-code.ts";
import type { BlockTable } from "./block-table.ts";
import { fitBlock, likelyRows } from "./fit-blocks.ts";
import type { HourTable } from "./hour-table.ts";
import { emptyRows, mergeRows } from "./merge-rows.ts";

/** Readings stay open for this long behind their series' newest: what comes a little late costs nothing then. */
const OPEN_MS = 5 * 60_000;
/** Rows sealed in one transaction: it holds the writer for some tens of milliseconds. */
const ROWS_AT_ONCE = 20_000;
/** Guess for a series of which nothing is sealed yet. */
const FIRST_BYTES_PER_READING = 2;

type Row = readonly [tMs: number, value: number | null, mark: number, attributes: string | null];

export interface Sealer {
  /** Says that rows of a series were written. */
  wrote(series: number): void;
  /** Seals what one series has waiting, in one transaction; false when no series has enough. */
  sealSome(): boolean;
}

/**
 * Moves readings from the open table, 25 bytes each, into blocks of one or less. In one transaction rows are read,
 * written as a block, the block is read back and compared, and the rows are deleted: a crash leaves either form whole.
 */
export function sealer(
  db: Database,
  parts: {
    readonly blocks: BlockTable;
    readonly hours: HourTable;
    readonly recent: Pick<RecentRows, "columns">;
    /** Up to where a series is cut into runs: what is still to be cut is read soon, and stays open. */
    settledUntil(series: number): number;
  },
): Sealer {
  const { blocks, hours, recent, settledUntil } = parts;
  const select = db
    .prepare<[number, number, number], Row>(
      "SELECT t, value, mark, attributes FROM sample WHERE series = ? AND t > ? AND t < ? ORDER BY t LIMIT 20000",
    )
    .raw();
  const upTo = db
    .prepare<[number, number], Row>(
      "SELECT t, value, mark, attributes FROM sample WHERE series = ? AND t <= ? ORDER BY t LIMIT 20000",
    )
    .raw();
  const newest = db.prepare<[number], { t: number | null }>("SELECT MAX(t) AS t FROM sample WHERE series = ?");
  const drop = db.prepare("DELETE FROM sample WHERE series = ? AND t >= ? AND t <= ?");
  const count = db.prepare<[], { series: number; n: number }>(
    "SELECT series, COUNT(*) AS n FROM sample GROUP BY series",
  );

  /** Rows of each series that came since nothing more of it could be sealed. */
  const waiting = new Map<number, number>();
  for (const { series, n } of count.iterate()) waiting.set(series, n);
  const density = new Map<number, number>();
  /** Events carry attributes; they are few and stay as they are. */
  const unsealable = new Set<number>();

  const sealFresh = (series: number): boolean => {
    const end = newest.get(series)?.t;
    if (end === null || end === undefined) return false;
    const before = Math.min(end - OPEN_MS, settledUntil(series));
    const after = blocks.sealedUntil(series);
    const rows = recent.columns(series, after, before, ROWS_AT_ONCE) ?? blockRows(select.all(series, after, before));
    if (rows === null) {
      unsealable.add(series);
      return false;
    }
    let from = 0;
    while (from < rows.times.length) {
      const block = fitBlock(rows, from, density.get(series) ?? FIRST_BYTES_PER_READING, false);
      if (block === null) break;
      blocks.insert(series, block.rows, block.bytes);
      hours.add(series, block.rows);
      const { times } = block.rows;
      const { changes } = drop.run(series, times[0], times.at(-1));
      if (changes !== times.length) throw new Error(`a block of ${times.length} rows would stand for ${changes}`);
      density.set(series, block.bytes.length / times.length);
      from += times.length;
    }
    return from > 0 && rows.times.length === ROWS_AT_ONCE;
  };

  /** Rows older than what is sealed go into the block they belong to; else the next block would overlap it. */
  const mergeLate = (series: number): boolean => {
    const rows = blockRows(upTo.all(series, blocks.sealedUntil(series)));
    if (rows === null) return false;
    const byHome = new Map<number, ReturnType<typeof emptyRows>>();
    rows.times.forEach((tMs, i) => {
      const home = blocks.home(series, tMs)!;
      const own = byHome.get(home) ?? emptyRows();
      own.times.push(tMs);
      own.values.push(rows.values[i]!);
      own.marks.push(rows.marks[i]!);
      byHome.set(home, own);
    });
    let moved = false;
    for (const [home, late] of byHome) {
      const sealed = blocks.rows(series, home);
      // A damaged block stays as it is, so that it is not lost without a trace; what came late stays open beside it.
      if (sealed === null) continue;
      const { all, added } = mergeRows(sealed, late);
      if (added.times.length > 0) {
        blocks.remove(home);
        for (let from = 0; from < all.times.length; ) {
          const block = fitBlock(all, from, density.get(series) ?? FIRST_BYTES_PER_READING, true)!;
          blocks.insert(series, block.rows, block.bytes);
          from += block.rows.times.length;
        }
        hours.add(series, added);
      }
      for (const tMs of late.times) drop.run(series, tMs, tMs);
      moved = true;
    }
    // Late rows of a damaged block alone would be looked at again for ever.
    return moved && rows.times.length === ROWS_AT_ONCE;
  };

  const seal = db.transaction((series: number): boolean => {
    const moreLate = mergeLate(series);
    return sealFresh(series) || moreLate;
  });

  return {
    wrote: (series) => waiting.set(series, (waiting.get(series) ?? 0) + 1),
    sealSome: () => {
      for (const [series, rows] of waiting) {
        if (unsealable.has(series) || rows < likelyRows(density.get(series) ?? FIRST_BYTES_PER_READING)) continue;
        const met = blocks.damageMet();
        // A power cut that takes this back leaves the rows open. No disk is waited for: the next commit syncs this as well.
        db.pragma("synchronous = NORMAL");
        try {
          const more = seal.immediate(series);
          waiting.set(series, more ? rows : 0);
        } catch (error) {
          blocks.reload();
          if (blocks.damageMet() === met) {
            // The others come first then: what cannot be sealed holds up no other series.
            waiting.delete(series);
            waiting.set(series, rows);
            throw error;
          }
        } finally {
          db.pragma("synchronous = FULL");
        }
        return true;
      }
      return false;
    },
  };
}

/** Rows as columns; null when one of them carries attributes, for which a block has no place. */
function blockRows(rows: readonly Row[]): BlockRows | null {
  const out = emptyRows();
  for (const [tMs, value, mark, attributes] of rows) {
    if (attributes !== null) return null;
    out.times.push(tMs);
    out.values.push(value);
    out.marks.push(mark);
  }
  return out;
}
