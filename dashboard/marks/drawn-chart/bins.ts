import { type DrawnChart, verdictAt } from "../../../spc/model/drawn-chart.ts";
import type { SignalColumn } from "../../../spc/rules/signal-column.ts";

/** What one column of a picture shows: one place, or a stretch of places of which the extremes are kept. */
export interface Bin {
  /** Places, half-open. */
  readonly from: number;
  readonly to: number;
  /** Null when no place of the stretch has a value. */
  readonly low: number | null;
  readonly high: number | null;
  /** Limits and centre at the last place of the stretch. */
  readonly lower: number | null;
  readonly upper: number | null;
  readonly centre: number | null;
  /** Places beyond a limit or completing a pattern: how many, and the least and greatest value of them. */
  readonly marked: {
    readonly count: number;
    readonly low: number;
    readonly high: number;
    readonly out: boolean;
  } | null;
}

/** Whether a place lies beyond a limit or completes a pattern. */
export function isMarked(chart: DrawnChart, signals: SignalColumn, place: number): boolean {
  const verdict = verdictAt(chart, place);
  return verdict === "above" || verdict === "below" || signals.any(place);
}

/** A chart cut into at most so many columns of equally many places, the last one perhaps of fewer. */
export function binsOf(chart: DrawnChart, signals: SignalColumn, most: number): readonly Bin[] {
  const n = chart.values.length;
  const each = placesEach(n, most);
  const bins: Bin[] = [];
  for (let from = 0; from < n; from += each) bins.push(binOf(chart, signals, from, Math.min(n, from + each)));
  return bins;
}

/** How many places one column holds. */
export function placesEach(n: number, most: number): number {
  return Math.max(1, Math.ceil(n / Math.max(1, most)));
}

function binOf(chart: DrawnChart, signals: SignalColumn, from: number, to: number): Bin {
  let low: number | null = null;
  let high: number | null = null;
  let marked: { count: number; low: number; high: number; out: boolean } | null = null;
  for (let place = from; place < to; place++) {
    const value = chart.values.at(place);
    if (value === null) continue;
    low = low === null ? value : Math.min(low, value);
    high = high === null ? value : Math.max(high, value);
    const verdict = verdictAt(chart, place);
    const out = verdict === "above" || verdict === "below";
    if (!out && !signals.any(place)) continue;
    marked ??= { count: 0, low: value, high: value, out: false };
    marked.count += 1;
    marked.low = Math.min(marked.low, value);
    marked.high = Math.max(marked.high, value);
    marked.out ||= out;
  }
  const last = to - 1;
  const [lower, upper, centre] = [chart.lower.at(last), chart.upper.at(last), chart.centres.at(last)];
  return { from, to, low, high, lower, upper, centre, marked };
}
