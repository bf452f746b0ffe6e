import { firstPlace } from "../../../../spc/model/first-place.ts";
import type { TrendColumn } from "../../sample-store.ts";
import { type TrendGrid, trendGrid } from "../../trend-grid.ts";
import type { BlockView } from "./block-code.ts";
import { type BlockTable, summary } from "./block-table.ts";
import { HOUR_MS, type HourTable } from "./hour-table.ts";
import type { GoneTable } from "./let-go.ts";
import type { ReadAsk, ReadRow } from "./read-merged.ts";

/**
 * A range in `columns` columns, each with its extremes, so that no spike is lost from afar. Whole hours come from the
 * roll-up when a column is an hour or more; else a block that lies inside one column is taken by its head, and only
 * those that straddle two are read.
 */
export function trendOf(
  parts: {
    readonly blocks: BlockTable;
    /** Null to go without the roll-up. */
    readonly hours: HourTable | null;
    readonly gone: GoneTable;
    open(ask: ReadAsk): readonly ReadRow[];
  },
  series: number,
  range: { readonly fromMs: number; readonly toMs: number },
  columns: number | TrendGrid,
): readonly TrendColumn[] {
  const { blocks, hours, gone, open } = parts;
  const grid = typeof columns === "number" ? trendGrid(range, columns, hours !== null) : columns;
  const byHour = hours !== null && grid.byHour;
  const fromMs = byHour ? Math.floor(range.fromMs / HOUR_MS) * HOUR_MS : range.fromMs;
  const { toMs } = range;
  const out = new Columns(grid.fromMs, grid.widthMs);

  if (byHour) {
    for (const hour of hours.read(series, fromMs, toMs)) out.addMany(hour.hour * HOUR_MS, hour);
  } else {
    for (const head of blocks.heads(series, fromMs, toMs)) {
      const whole = head.t0 >= fromMs && head.t1 < toMs && out.place(head.t0) === out.place(head.t1);
      if (whole) out.addMany(head.t0, head);
      else {
        const view = blocks.view(series, head.id);
        if (view !== null) out.addView(view, fromMs, toMs);
      }
    }
  }
  for (const [tMs, value] of open({ fromMs, toMs, markBelow: Number.MAX_SAFE_INTEGER, limit: -1 })) {
    // What was let go and came again is in its hour already; what is sealed as well was counted there.
    if (byHour && tMs < gone.before(series)) continue;
    if (tMs > blocks.sealedUntil(series) || !blocks.has(series, tMs)) out.addOne(tMs, value);
  }
  return out.list();
}

interface Growing {
  n: number;
  valued: number;
  min: number;
  max: number;
  sum: number;
}

class Columns {
  readonly #columns = new Map<number, Growing>();
  readonly #fromMs: number;
  readonly #widthMs: number;

  constructor(fromMs: number, widthMs: number) {
    this.#fromMs = fromMs;
    this.#widthMs = widthMs;
  }

  place(tMs: number): number {
    return Math.floor((tMs - this.#fromMs) / this.#widthMs);
  }

  addOne(tMs: number, value: number | null): void {
    const valued = value === null ? 0 : 1;
    this.addMany(tMs, { n: 1, valued, min: value, max: value, sum: value ?? 0 });
  }

  /** Those of [from, to) in a block: where a column ends is searched for, and what lies before is summed up at once. */
  addView({ n, time, values }: BlockView, fromMs: number, toMs: number): void {
    const firstFrom = (tMs: number, from: number): number => firstPlace(from, n, (place) => time(place) < tMs);
    const end = firstFrom(toMs, 0);
    for (let from = firstFrom(fromMs, 0); from < end; ) {
      const first = time(from);
      const to = Math.min(firstFrom(this.#fromMs + (this.place(first) + 1) * this.#widthMs, from), end);
      this.addMany(first, { n: to - from, ...summary(values, from, to) });
      from = to;
    }
  }

  addMany(
    tMs: number,
    some: {
      readonly n: number;
      readonly valued: number;
      readonly min: number | null;
      readonly max: number | null;
      readonly sum: number;
    },
  ): void {
    const place = this.place(tMs);
    const column = this.#columns.get(place) ?? {
      n: 0,
      valued: 0,
      min: Number.POSITIVE_INFINITY,
      max: Number.NEGATIVE_INFINITY,
      sum: 0,
    };
    column.n += some.n;
    column.valued += some.valued;
    column.min = Math.min(column.min, some.min ?? Number.POSITIVE_INFINITY);
    column.max = Math.max(column.max, some.max ?? Number.NEGATIVE_INFINITY);
    column.sum += some.sum;
    this.#columns.set(place, column);
  }

  list(): readonly TrendColumn[] {
    return [...this.#columns]
      .sort(([a], [b]) => a - b)
      .map(([place, { n, valued, min, max, sum }]) => {
        const fromMs = this.#fromMs + place * this.#widthMs;
        // Readings at the end of what a double holds have extremes, and a sum that is none.
        const mean = Number.isFinite(sum) ? sum / valued : null;
        const numbers = valued === 0 ? { min: null, max: null, mean: null } : { min, max, mean };
        return { fromMs, toMs: fromMs + this.#widthMs, n, valued, ...numbers };
      });
  }
}
