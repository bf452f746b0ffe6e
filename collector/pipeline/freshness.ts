import type { Station } from "../platform/settings/site.ts";
import type { SampleStore } from "../store/sample-store.ts";
import { expectedSeries, newestOfStation } from "./expected-series.ts";

/** How fresh a station's data are. */
export interface Freshness {
  readonly station: string;
  readonly source: string;
  /** Newest reading of the station, source time; null before the first. */
  readonly newestMs: number | null;
  readonly state: "live" | "catching-up" | "silent" | "never";
  /** The series that is overdue the longest, when silent; null where it is the source as a whole. */
  readonly overdue: string | null;
  readonly openSinceMs: number | null;
}

/** Intervals without news until a station is shown as silent. */
const INTERVALS = 3;
/** Messages travel in groups: less than this is no silence. */
const LEAST_MS = 5_000;

export interface FreshnessInput {
  readonly nowMs: number;
  /** Since when this process listens. */
  readonly watchedMs: number;
  readonly openSinceMs: number | null;
  readonly catchingUp: boolean;
  /** Its source has been quiet for longer than it ever is. */
  readonly sourceQuiet: boolean;
}

export function freshnessOf(store: SampleStore, station: Station, input: FreshnessInput): Freshness {
  const { nowMs, watchedMs, openSinceMs, catchingUp } = input;
  const newestMs = newestOfStation(store, station);
  const base = { station: station.id, source: station.source, newestMs, openSinceMs, overdue: null };
  if (newestMs === null) return { ...base, state: "never" };
  if (catchingUp) return { ...base, state: "catching-up" };
  const overdue = expectedSeries(store, station, openSinceMs)
    .map(({ series, everyMs, sinceMs }) => ({
      id: series.id,
      // Before we listened nobody was silent.
      byMs: sinceMs === null ? 0 : nowMs - Math.max(sinceMs, watchedMs) - Math.max(INTERVALS * everyMs, LEAST_MS),
    }))
    .filter(({ byMs }) => byMs > 0)
    .sort((a, b) => b.byMs - a.byMs);
  if (overdue[0] === undefined) return { ...base, state: input.sourceQuiet ? "silent" : "live" };
  return { ...base, state: "silent", overdue: overdue[0].id };
}
