import { knownThere } from "./known-there.ts";
import type { ReadingPort } from "./reading-port.ts";
import type { SampleRange, SampleStore, StoredSample, TrendColumn } from "./sample-store.ts";
import { type TrendGrid, trendGrid } from "./trend-grid.ts";

type Local = Pick<SampleStore, "read" | "trend" | "keptFrom">;

/** Reads here alone. */
export function localReadings({ read, trend }: Local): ReadingPort {
  return {
    read: (range, options) => Promise.resolve(read(range, options)),
    trend: (range, columns) => Promise.resolve(trend(range, columns)),
  };
}

/**
 * Reads here what is kept here, and from the long-term store only what was let go here: the border is that of the
 * series, and it is looked at in the same moment as what is read here, so nothing falls between the two. Readings that
 * came again, or late, for a time that was let go are in both, and counted once: what is there came first.
 */
export function joinedReadings(local: Local, far: ReadingPort): ReadingPort {
  return {
    read: async (range, options = {}) => {
      const border = local.keptFrom(range.series);
      const found = local.read(range, options);
      if (range.fromMs >= border) return found;
      const old = await far.read({ ...range, toMs: Math.min(range.toMs, border) }, options);
      return cut(merged(old, found), options.limit);
    },
    trend: async (range, columns) => {
      const { series, fromMs, toMs } = range;
      const grid = typeof columns === "number" ? trendGrid(range, columns) : columns;
      const border = local.keptFrom(series);
      // Hourly roll-ups stay here for ever.
      if (fromMs >= border || grid.byHour) return local.trend(range, grid);
      const left = local.read({ series, fromMs, toMs: Math.min(toMs, border) }, { includeLate: true });
      const here = toMs > border ? local.trend({ series, fromMs: border, toMs }, grid) : [];
      const { there, known } = await trendThere(far, { series, fromMs, toMs: Math.min(toMs, border) }, grid, left);
      const fresh = left.filter(({ tMs }) => !known.has(tMs));
      return summed([...there, ...fresh.map((one) => asColumn(one, grid.fromMs, grid.widthMs)), ...here]);
    },
  };
}

/** In time order; of two of one time the first list's wins. */
function merged(old: readonly StoredSample[], found: readonly StoredSample[]): readonly StoredSample[] {
  if (old.length === 0) return found;
  const known = new Set(old.map(({ tMs }) => tMs));
  const fresh = found.filter(({ tMs }) => !known.has(tMs));
  return fresh.length === 0 ? old : [...old, ...fresh].sort((a, b) => a.tMs - b.tMs);
}

function cut(samples: readonly StoredSample[], limit = -1): readonly StoredSample[] {
  return limit >= 0 && samples.length > limit ? samples.slice(0, limit) : samples;
}

/**
 * Columns of there, and which of the readings left here they hold. One that arrives meanwhile may be in them or not: then
 * it is asked for again, and what has arrived stays.
 */
async function trendThere(
  far: ReadingPort,
  range: SampleRange,
  grid: TrendGrid,
  left: readonly StoredSample[],
): Promise<{ readonly there: readonly TrendColumn[]; readonly known: ReadonlySet<number> }> {
  const times = left.map(({ tMs }) => tMs);
  for (let before = await knownThere(far, range.series, times); ; ) {
    const there = await far.trend(range, grid);
    const known = await knownThere(far, range.series, times);
    if (known.size === before.size) return { there, known };
    before = known;
  }
}

function asColumn({ tMs, value }: StoredSample, fromMs: number, widthMs: number): TrendColumn {
  const from = fromMs + Math.floor((tMs - fromMs) / widthMs) * widthMs;
  const valued = value === null ? 0 : 1;
  return { fromMs: from, toMs: from + widthMs, n: 1, valued, min: value, max: value, mean: value };
}

/** One column for each beginning, in time order. */
function summed(columns: readonly TrendColumn[]): readonly TrendColumn[] {
  const byTime = new Map<number, TrendColumn>();
  for (const column of columns) {
    const known = byTime.get(column.fromMs);
    byTime.set(column.fromMs, known === undefined ? column : together(known, column));
  }
  return [...byTime.values()].sort((a, b) => a.fromMs - b.fromMs);
}

function together(a: TrendColumn, b: TrendColumn): TrendColumn {
  const n = a.n + b.n;
  if (a.valued === 0) return { ...b, n };
  if (b.valued === 0) return { ...a, n };
  const valued = a.valued + b.valued;
  // With values and without a mean: their sum is more than a double holds.
  const mean = a.mean === null || b.mean === null ? null : (a.mean * a.valued + b.mean * b.valued) / valued;
  return { ...a, n, valued, min: Math.min(a.min!, b.min!), max: Math.max(a.max!, b.max!), mean };
}
