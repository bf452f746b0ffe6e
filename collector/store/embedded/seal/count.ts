import type { BlockTable } from "./block-table.ts";
import { HOUR_MS, type HourTable } from "./hour-table.ts";
import type { GoneTable } from "./let-go.ts";

/** Rows of the open table, without fetching one where a number will do. */
export interface OpenCount {
  /** With fromMs <= t < toMs. */
  count(series: number, fromMs: number, toMs: number): number;
  times(series: number, fromMs: number, toMs: number): readonly number[];
}

/**
 * How many readings there are of a range, late ones included; `byHour` by the roll-up, in whole hours from the one that it
 * begins in, and with what was let go since.
 */
export function countOf(
  parts: {
    readonly blocks: BlockTable;
    readonly hours: HourTable;
    readonly gone: GoneTable;
    readonly open: OpenCount;
  },
  series: number,
  range: { readonly fromMs: number; readonly toMs: number },
  byHour: boolean,
): number {
  const { blocks, hours, gone, open } = parts;
  const { toMs } = range;
  let fromMs = range.fromMs;
  let count = 0;
  if (byHour) {
    fromMs = Math.floor(fromMs / HOUR_MS) * HOUR_MS;
    for (const { n } of hours.read(series, fromMs, toMs)) count += n;
    // What was let go and came again is in its hour already.
    fromMs = Math.max(fromMs, gone.before(series));
  } else {
    for (const { id, t0, t1, n } of blocks.heads(series, fromMs, toMs)) {
      if (t0 >= fromMs && t1 < toMs) count += n;
      else count += blocks.rows(series, id)?.times.filter((tMs) => tMs >= fromMs && tMs < toMs).length ?? 0;
    }
  }
  // Open rows amid what is sealed are few; one that is sealed as well was counted there.
  const border = Math.min(Math.max(blocks.sealedUntil(series) + 1, fromMs), toMs);
  for (const tMs of open.times(series, fromMs, border)) if (!blocks.has(series, tMs)) count += 1;
  return count + open.count(series, border, toMs);
}
