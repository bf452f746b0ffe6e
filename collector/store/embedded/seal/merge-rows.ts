import type { BlockRows } from "./block-code.ts";

/** What a merge made: all rows in time order, and those of the late ones that were not there yet. */
export interface MergedRows {
  readonly all: BlockRows;
  readonly added: BlockRows;
}

/** Rows of a block with late ones put in; of two readings of one time the sealed one, which came first, is kept. */
export function mergeRows(sealed: BlockRows, late: BlockRows): MergedRows {
  const all = emptyRows();
  const added = emptyRows();
  let next = 0;
  const takeSealedBefore = (tMs: number): void => {
    for (; next < sealed.times.length && sealed.times[next]! < tMs; next += 1) push(all, sealed, next);
  };
  late.times.forEach((tMs, i) => {
    takeSealedBefore(tMs);
    if (sealed.times[next] === tMs) return;
    push(all, late, i);
    push(added, late, i);
  });
  takeSealedBefore(Number.POSITIVE_INFINITY);
  return { all, added };
}

export interface GrowingRows {
  readonly times: number[];
  readonly values: (number | null)[];
  readonly marks: number[];
}

export function emptyRows(): GrowingRows {
  return { times: [], values: [], marks: [] };
}

function push(rows: GrowingRows, from: BlockRows, i: number): void {
  rows.times.push(from.times[i]!);
  rows.values.push(from.values[i]!);
  rows.marks.push(from.marks[i]!);
}
