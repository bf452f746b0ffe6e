import { setImmediate as turn } from "node:timers/promises";
import type { InfluxReadings } from "../store/influx/influx-readings.ts";
import type { SampleStore } from "../store/sample-store.ts";

export const DAY_MS = 86_400_000;
/** Series counted in one turn of the event loop. */
const AT_ONCE = 10;

/** What one day's comparison found. */
export interface DayChecked {
  readonly day: number;
  /** Series of which there are fewer there than here; what is still here goes once more. */
  readonly short: readonly ShortSeries[];
}

export interface ShortSeries {
  readonly series: string;
  readonly here: number;
  readonly there: number;
  /** None of that day is here any more: what is missing there is lost. */
  readonly lost: boolean;
}

/**
 * Compares how many readings of each series there are of a UTC day, here and there, as far as they were forwarded. A
 * store that was wiped, was restored from an old backup, or said that it took what it did not take, has fewer. To be
 * called while nothing is on its way. Moves `seen`, which is what lets readings go here.
 */
export async function checkDay(
  store: SampleStore,
  far: Pick<InfluxReadings, "counts">,
  day: number,
  {
    goesAgain = () => true,
    thereFromMs = Number.NEGATIVE_INFINITY,
  }: {
    /** Whether what is missing goes once more; it may have done so before, to no avail. */
    readonly goesAgain?: (series: string) => boolean;
    /** What is older the store lets go by itself. */
    readonly thereFromMs?: number;
  } = {},
): Promise<DayChecked> {
  const book = store.forwarding;
  const [fromMs, toMs] = [day * DAY_MS, (day + 1) * DAY_MS];
  const asked: { readonly series: string; readonly here: number; readonly seenMs: number }[] = [];
  for (const [place, series] of store.seriesNames().entries()) {
    if (place % AT_ONCE === AT_ONCE - 1) await turn();
    const lastMs = store.latest(series)?.tMs ?? Number.NEGATIVE_INFINITY;
    const untilMs = book.until(series);
    const all = untilMs >= Math.min(toMs - 1, lastMs);
    if (!all || book.touches(series, fromMs, toMs)) continue;
    // By the roll-up, which holds what was let go as well.
    asked.push({ series, here: store.count({ series, fromMs, toMs }, true), seenMs: Math.min(toMs, untilMs + 1) });
  }
  const gone = fromMs < thereFromMs;
  const there =
    !gone && asked.some(({ here }) => here > 0) ? await far.counts(fromMs, toMs) : new Map<string, number>();
  const short: ShortSeries[] = [];
  const seen = new Map<string, number>();
  for (const { series, here, seenMs } of asked) {
    // Something came behind while we asked: that day is for the next time.
    if (book.touches(series, fromMs, toMs)) continue;
    const found = there.get(series) ?? 0;
    const before = book.seenUntil(series);
    const keptFrom = Math.max(fromMs, store.keptFrom(series));
    const enough = gone || found + book.refusedIn(series, fromMs, toMs) >= here;
    const lost = !enough && keptFrom >= toMs;
    if (!enough) short.push({ series, here, there: found, lost });
    if (enough || lost) {
      const first = before === Number.NEGATIVE_INFINITY ? (book.oldestMs(series) ?? toMs) : before;
      if (first >= fromMs && seenMs > before) seen.set(series, seenMs);
      continue;
    }
    if (goesAgain(series)) book.again(series, keptFrom, toMs - 1);
    if (before > keptFrom) seen.set(series, keptFrom);
  }
  book.setSeen(seen);
  return { day, short };
}

/** First and last day of what was ever kept; null while there is nothing. */
export function daysKept(store: SampleStore): { readonly first: number; readonly last: number } | null {
  let [first, last] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const series of store.seriesNames()) {
    const oldest = store.forwarding.oldestMs(series);
    const newest = store.latest(series)?.tMs;
    if (oldest !== undefined) first = Math.min(first, oldest);
    last = Math.max(last, newest ?? oldest ?? last);
  }
  return first <= last ? { first: Math.floor(first / DAY_MS), last: Math.floor(last / DAY_MS) } : null;
}

/** The oldest day of which something was forwarded and not yet seen there; null when all was seen. */
export function firstUnseenDay(store: SampleStore): number | null {
  const book = store.forwarding;
  let first = Number.POSITIVE_INFINITY;
  for (const series of store.seriesNames()) {
    const untilMs = book.until(series);
    const seenMs = book.seenUntil(series);
    if (untilMs === Number.NEGATIVE_INFINITY || seenMs > untilMs) continue;
    const begins = seenMs === Number.NEGATIVE_INFINITY ? (book.oldestMs(series) ?? untilMs) : seenMs;
    first = Math.min(first, begins);
  }
  return Number.isFinite(first) ? Math.floor(first / DAY_MS) : null;
}
