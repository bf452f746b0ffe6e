/** A trace of few points a column: the least and the greatest value of each, and one gap if there is any, in time order. */
export function thin(
  tMs: readonly number[],
  value: readonly (number | null)[],
  columns: number,
): { readonly tMs: readonly number[]; readonly value: readonly (number | null)[] } {
  if (tMs.length <= columns * 2) return { tMs, value };
  const from = tMs[0]!;
  const width = (tMs.at(-1)! - from) / columns || 1;
  const outT: number[] = [];
  const outV: (number | null)[] = [];
  let at = 0;
  for (let column = 0; column < columns && at < tMs.length; column++) {
    const until = column === columns - 1 ? Number.POSITIVE_INFINITY : from + (column + 1) * width;
    let low = -1;
    let high = -1;
    let hole = -1;
    for (; at < tMs.length && tMs[at]! < until; at++) {
      const here = value[at]!;
      if (here === null) hole = at;
      else {
        if (low < 0 || here < value[low]!) low = at;
        if (high < 0 || here > value[high]!) high = at;
      }
    }
    const kept = [...new Set([low, high, hole].filter((index) => index >= 0))].sort((a, b) => a - b);
    for (const index of kept) {
      outT.push(tMs[index]!);
      outV.push(value[index]!);
    }
  }
  return { tMs: outT, value: outV };
}
