import type { ReadAsk, ReadRow } from "./seal/read-merged.ts";

/** How far back from its newest each series is held, and most rows of one: about what open runs are cut from. */
const HELD_MS = 5 * 60_000;
const MOST_ROWS = 20_000;

interface Held {
  /** Every row of the series from here on is held. */
  fromMs: number;
  newestMs: number;
  /** Rows before this place are no longer held. */
  first: number;
  rows: ReadRow[];
}

/**
 * The newest rows of each series in memory, because all that is written is read again within minutes, and to fetch a row
 * from the file costs more than to make use of it. It holds nothing that the file does not: a row that is not newer than
 * all others of its series ends what is held, and reads that reach further back go to the file.
 */
export interface RecentRows {
  /** A row on its way to the file. */
  wrote(series: number, row: ReadRow): void;
  /** What was written may not be there, or something that was is gone. */
  forget(series?: number): void;
  /** Rows of a range, or null where not all of them are held. */
  read(series: number, ask: ReadAsk): readonly ReadRow[] | null;
}

/** `newestOf`: time of a series' newest row in the file, the row on its way left out; undefined without any. */
export function recentRows(newestOf: (series: number) => number | undefined): RecentRows {
  const all = new Map<number, Held>();
  const heldOf = (series: number): Held => {
    const known = all.get(series);
    if (known !== undefined) return known;
    const newestMs = newestOf(series) ?? Number.NEGATIVE_INFINITY;
    const made: Held = { fromMs: newestMs + 1, newestMs, first: 0, rows: [] };
    all.set(series, made);
    return made;
  };
  return {
    wrote: (series, row) => {
      const held = heldOf(series);
      const [tMs] = row;
      if (tMs <= held.newestMs) {
        Object.assign(held, { fromMs: held.newestMs + 1, first: 0, rows: [] });
        return;
      }
      held.newestMs = tMs;
      held.rows.push(row);
      while (tMs - held.rows[held.first]![0] > HELD_MS || held.rows.length - held.first > MOST_ROWS) {
        held.fromMs = held.rows[held.first]![0] + 1;
        held.first += 1;
      }
      if (held.first > 100 && held.first > held.rows.length / 2) {
        held.rows = held.rows.slice(held.first);
        held.first = 0;
      }
    },
    forget: (series) => {
      if (series === undefined) all.clear();
      else all.delete(series);
    },
    read: (series, { fromMs, toMs, markBelow, limit }) => {
      const held = all.get(series);
      if (held === undefined || fromMs < held.fromMs) return null;
      const { rows } = held;
      const out: ReadRow[] = [];
      for (let i = placeOf(held, fromMs); i < rows.length && rows[i]![0] < toMs && out.length !== limit; i += 1) {
        if (rows[i]![2] < markBelow) out.push(rows[i]!);
      }
      return out;
    },
  };
}

/** Place of the first row at or after a time. */
function placeOf({ first, rows }: Held, tMs: number): number {
  let [low, high] = [first, rows.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (rows[middle]![0] < tMs) low = middle + 1;
    else high = middle;
  }
  return low;
}
