import type { Clock } from "../platform/clock.ts";
import type { Log } from "../platform/log.ts";
import type { InfluxReadings } from "../store/influx/influx-readings.ts";
import type { SampleStore } from "../store/sample-store.ts";
import { checkDay, DAY_MS, daysKept, firstUnseenDay } from "./day-check.ts";
import type { RunFeed } from "./run-feed.ts";

/** Between two comparisons of what was forwarded lately. */
const UNSEEN_EVERY_MS = 15 * 60_000;
/** Between two comparisons of everything. */
const ALL_EVERY_MS = 86_400_000;
/** Counting a day costs InfluxDB so many times less than what we leave it alone for. */
const REST = 9;
/** What did not arrive after so many times is told, and not sent again before the next look at everything. */
const TIMES = 2;
const MOST_TRIED = 10_000;

/**
 * Decides which day is compared when. After each connection all days, the newest first; then what was forwarded lately
 * every quarter of an hour, the newest day at least, and all days once a day. Where a day falls short the days before it are looked at at once.
 */
export interface DayWatch {
  /** Looks at a day when one is due; between chunks only such as have waited for long. */
  look(far: InfluxReadings, keepsMs: number | null, idle: boolean): Promise<boolean>;
  /** After a time without connection: everything may be otherwise. */
  restart(): void;
  shortDays(): number;
}

export function dayWatch(parts: {
  readonly store: SampleStore;
  readonly runs: RunFeed;
  readonly clock: Clock;
  readonly log: Log;
}): DayWatch {
  const { store, runs, clock, log } = parts;
  /** The day that the look back comes to next; null when it has come to the end. */
  let back: number | null = null;
  let backFromMs = 0;
  let begun = false;
  let unseen: number | null = null;
  let unseenMs = Number.NEGATIVE_INFINITY;
  let restMs = Number.NEGATIVE_INFINITY;
  let restartedMs = clock.nowMs();
  let shortDays = 0;
  const tried = new Map<string, number>();

  const check = async (far: InfluxReadings, day: number, keepsMs: number | null): Promise<boolean> => {
    const since = performance.now();
    const goesAgain = (series: string): boolean => {
      const key = `${series} ${day}`;
      const times = (tried.get(key) ?? 0) + 1;
      if (tried.size < MOST_TRIED) tried.set(key, times);
      return times <= TIMES;
    };
    const thereFromMs = keepsMs === null ? Number.NEGATIVE_INFINITY : clock.nowMs() - keepsMs;
    const { short } = await checkDay(store, far, day, { goesAgain, thereFromMs });
    const shortRuns = day * DAY_MS >= thereFromMs && (await runs.checkDay(far, day));
    restMs = clock.nowMs() + REST * (performance.now() - since);
    if (short.length > 0) tell(day, short);
    if (shortRuns)
      log.warn(
        { day: dayName(day) },
        "the long-term store has fewer run values of a day than we sent; they go once more",
      );
    return short.length > 0 || shortRuns;
  };

  const tell = (day: number, short: Awaited<ReturnType<typeof checkDay>>["short"]): void => {
    shortDays += 1;
    const missing = short.reduce((sum, { here, there }) => sum + here - there, 0);
    const about = { day: dayName(day), series: short.length, missing, first: short[0]!.series };
    if (short.every(({ lost }) => lost)) {
      log.error(about, "the long-term store lost readings of a day that are no longer here either");
    } else if (short.some(({ series }) => (tried.get(`${series} ${day}`) ?? 0) > TIMES)) {
      log.error(about, "the long-term store says that it took readings and does not have them; they are kept here");
    } else log.warn(about, "the long-term store has fewer readings of a day than we sent; what is here goes once more");
  };

  const lookBack = async (far: InfluxReadings, keepsMs: number | null): Promise<boolean> => {
    if (back === null) {
      if (begun && clock.nowMs() - backFromMs < ALL_EVERY_MS) return false;
    }
    const kept = [daysKept(store), runs.days()].filter((one) => one !== null);
    if (kept.length === 0) return false;
    const days = { first: Math.min(...kept.map((one) => one.first)), last: Math.max(...kept.map((one) => one.last)) };
    if (back === null) {
      begun = true;
      tried.clear();
      backFromMs = clock.nowMs();
      back = days.last;
    }
    const oldest = keepsMs === null ? days.first : Math.max(days.first, dayOf(clock.nowMs() - keepsMs) + 1);
    if (back < oldest) {
      back = null;
      return false;
    }
    const short = await check(far, back, keepsMs);
    back -= 1;
    if (short) restMs = Number.NEGATIVE_INFINITY;
    return true;
  };

  const lookAtUnseen = async (far: InfluxReadings, keepsMs: number | null, idle: boolean): Promise<boolean> => {
    if (unseen === null) {
      const first = unseenMs === Number.NEGATIVE_INFINITY;
      if (first ? !idle && clock.nowMs() - restartedMs < UNSEEN_EVERY_MS : clock.nowMs() - unseenMs < UNSEEN_EVERY_MS) {
        return false;
      }
      unseenMs = clock.nowMs();
      // The newest day once more where all was seen: a store that was put back to an old state says nothing of it.
      unseen = firstUnseenDay(store) ?? daysKept(store)?.last ?? null;
      if (unseen === null) return false;
    }
    const last = daysKept(store)?.last ?? unseen;
    if (unseen > last) {
      unseen = null;
      return false;
    }
    const day = unseen;
    unseen += 1;
    // Fewer than we sent, and nobody noticed that it was away: whatever lies before is in doubt as well.
    if ((await check(far, day, keepsMs)) && back === null) begun = false;
    return true;
  };

  return {
    look: async (far, keepsMs, idle) => {
      if (clock.nowMs() < restMs) return false;
      // While much is on its way only what lets readings go here is worth the time.
      if (await lookAtUnseen(far, keepsMs, idle)) return true;
      return idle && (await lookBack(far, keepsMs));
    },
    restart: () => {
      begun = false;
      back = null;
      unseen = null;
      unseenMs = Number.NEGATIVE_INFINITY;
      restMs = Number.NEGATIVE_INFINITY;
      restartedMs = clock.nowMs();
    },
    shortDays: () => shortDays,
  };
}

function dayOf(tMs: number): number {
  return Math.floor(tMs / DAY_MS);
}

function dayName(day: number): string {
  return new Date(day * DAY_MS).toISOString().slice(0, 10);
}
