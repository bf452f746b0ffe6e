/** A trace as two columns of equal length. */
export interface Columns {
  readonly tMs: number[];
  readonly value: (number | null)[];
}

export interface Thinned extends Columns {
  readonly thinned: boolean;
}

/**
 * At most two points a column of equal time: the lowest and the highest, so that no spike is lost, in time order. One
 * missing value is kept in each column that has any, so that a hole stays a hole.
 */
export function thin(trace: Columns, columns: number): Thinned {
  const { tMs, value } = trace;
  const n = tMs.length;
  if (n <= 2 * columns) return { tMs: [...tMs], value: [...value], thinned: false };
  const from = tMs[0] as number;
  const width = ((tMs[n - 1] as number) - from) / columns || 1;
  const kept: number[] = [];
  const columnOf = (i: number): number => Math.min(columns - 1, Math.floor(((tMs[i] as number) - from) / width));
  for (let start = 0; start < n; ) {
    const column = columnOf(start);
    let next = start + 1;
    while (next < n && columnOf(next) === column) next++;
    kept.push(...extremes(value, start, next));
    start = next;
  }
  return { tMs: kept.map((i) => tMs[i] as number), value: kept.map((i) => value[i] ?? null), thinned: true };
}

/** Places of the lowest, the highest and the first missing value in [start, end), in order. */
function extremes(value: readonly (number | null)[], start: number, end: number): number[] {
  let low = -1;
  let high = -1;
  let missing = -1;
  for (let i = start; i < end; i++) {
    const v = value[i] ?? null;
    if (v === null) {
      if (missing < 0) missing = i;
      continue;
    }
    if (low < 0 || v < (value[low] as number)) low = i;
    if (high < 0 || v > (value[high] as number)) high = i;
  }
  return [...new Set([low, high, missing])].filter((i) => i >= 0).sort((a, b) => a - b);
}
