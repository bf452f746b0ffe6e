import { firstPlace } from "../../../../spc/model/first-place.ts";
import type { BlockRows } from "./block-code.ts";
import type { BlockTable } from "./block-table.ts";

/** One reading as both tables give it. */
export type ReadRow = readonly [tMs: number, value: number | null, mark: number, attributes: string | null];

export interface ReadAsk {
  readonly fromMs: number;
  readonly toMs: number;
  /** Marks at or above this are left out. */
  readonly markBelow: number;
  /** -1 for all. */
  readonly limit: number;
}

/**
 * Readings of a series in a range, sealed and open ones in one order; of two of one time the sealed one wins, because
 * it came first. `open` reads the open table.
 */
export function readMerged(
  blocks: BlockTable,
  series: number,
  ask: ReadAsk,
  open: (ask: ReadAsk) => readonly ReadRow[],
): readonly ReadRow[] {
  const rows = open(ask);
  if (blocks.sealedUntil(series) < ask.fromMs) return rows;
  const sealed = sealedRows(blocks, series, ask);
  if (sealed.length === 0) return rows;
  const out = mergeInTime(sealed, rows);
  return ask.limit >= 0 && out.length > ask.limit ? out.slice(0, ask.limit) : out;
}

function sealedRows(blocks: BlockTable, series: number, { fromMs, toMs, markBelow, limit }: ReadAsk): ReadRow[] {
  const out: ReadRow[] = [];
  for (const { id } of blocks.heads(series, fromMs, toMs)) {
    const rows = blocks.rows(series, id);
    if (rows === null) continue;
    for (let i = firstFrom(rows, fromMs); i < rows.times.length && rows.times[i]! < toMs; i += 1) {
      if (limit >= 0 && out.length >= limit) return out;
      if (rows.marks[i]! < markBelow) out.push([rows.times[i]!, rows.values[i]!, rows.marks[i]!, null]);
    }
  }
  return out;
}

function firstFrom({ times }: BlockRows, fromMs: number): number {
  return firstPlace(0, times.length, (place) => times[place]! < fromMs);
}

function mergeInTime(sealed: readonly ReadRow[], open: readonly ReadRow[]): ReadRow[] {
  const out: ReadRow[] = [];
  let next = 0;
  for (const row of sealed) {
    for (; next < open.length && open[next]![0] < row[0]; next += 1) out.push(open[next]!);
    if (open[next]?.[0] === row[0]) next += 1;
    out.push(row);
  }
  for (; next < open.length; next += 1) out.push(open[next]!);
  return out;
}
