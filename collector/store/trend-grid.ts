const HOUR_MS = 3_600_000;

/** Where the columns of a trend begin and how wide they are. */
export interface TrendGrid {
  readonly fromMs: number;
  readonly widthMs: number;
  /** Whole hours, so that the roll-up can answer. */
  readonly byHour: boolean;
}

/** Columns of a range: whole hours where they would be an hour or more and `hours` says that there is a roll-up. */
export function trendGrid(
  { fromMs, toMs }: { readonly fromMs: number; readonly toMs: number },
  columns: number,
  hours = true,
): TrendGrid {
  const exact = (toMs - fromMs) / columns;
  if (hours && exact >= HOUR_MS) {
    return {
      fromMs: Math.floor(fromMs / HOUR_MS) * HOUR_MS,
      widthMs: Math.ceil(exact / HOUR_MS) * HOUR_MS,
      byHour: true,
    };
  }
  return { fromMs, widthMs: Math.max(Math.ceil(exact), 1), byHour: false };
}
