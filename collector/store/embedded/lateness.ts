import type { Database } from "better-sqlite3";
import { PAST_MS } from "../entries.ts";
import type { LateSource, SeriesPlaces } from "../sample-store.ts";

interface SourceTime {
  readonly name: string;
  /** Newest reading of all messages before this one. */
  newestMs: number;
  /** Newest so far, this message included. */
  seenMs: number;
  /** Newest as it is on disk. */
  savedMs: number;
  /** Readings of today's time, in a row, that were late, up to the last, and when that arrived. */
  lateInRow: number;
  lateArrivedMs: number;
}
interface StationTime {
  readonly name: string;
  settledMs: number;
  saved: boolean;
}
/** Where a series belongs, found once. */
export interface SeriesTimes {
  readonly source: SourceTime;
  readonly station: StationTime;
}

/**
 * Tells what is late. Judged message by message: readings of one message are never late by one another, and the
 * answer does not depend on how messages were grouped into commits.
 */
export interface Lateness {
  timesOf(series: string): SeriesTimes;
  /** `arrivedMs` is when its message came. */
  isLate(times: SeriesTimes, tMs: number, arrivedMs: number): boolean;
  endMessage(): void;
  settle(station: string, beforeMs: number): void;
  /** Up to where the series' station is cut into runs; without end for a series that the settings no longer have. */
  settledUntil(series: string): number;
  newestBySource(): ReadonlyMap<string, number>;
  /** Sources of which nothing is in time any more, since the store was opened. */
  lateSources(): readonly LateSource[];
  /** Inside a transaction. */
  save(): void;
  /** After a transaction: what it saved holds, or is taken back. */
  settled(committed: boolean): void;
}

export function lateness(db: Database, places: SeriesPlaces): Lateness {
  const sources = new Map<string, SourceTime>();
  const stations = new Map<string, StationTime>();
  const bySeries = new Map<string, SeriesTimes>();
  const putSource = db.prepare(
    "INSERT INTO source (name, newest) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET newest = excluded.newest",
  );
  const putStation = db.prepare(
    "INSERT INTO station (name, settled) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET settled = excluded.settled",
  );
  const allSources = db.prepare<[], { name: string; newest: number }>("SELECT name, newest FROM source");
  const allStations = db.prepare<[], { name: string; settled: number }>("SELECT name, settled FROM station");
  for (const { name, newest } of allSources.all()) {
    sources.set(name, sourceTime(name, newest));
  }
  for (const { name, settled } of allStations.all()) stations.set(name, { name, settledMs: settled, saved: true });

  /** Newer than before this message, and than before this transaction. */
  let moved: SourceTime[] = [];
  let unsaved: SourceTime[] = [];
  const sourceOf = (name: string): SourceTime => {
    const found = sources.get(name) ?? sourceTime(name, -Infinity);
    sources.set(name, found);
    return found;
  };
  const stationOf = (name: string): StationTime => {
    const found = stations.get(name) ?? { name, settledMs: -Infinity, saved: true };
    stations.set(name, found);
    return found;
  };

  return {
    timesOf: (series) => {
      const known = bySeries.get(series);
      if (known !== undefined) return known;
      const place = places.find(series);
      if (place === undefined) throw new RangeError(`no station of the settings has the series ${series}`);
      const times = { source: sourceOf(place.source), station: stationOf(place.station) };
      bySeries.set(series, times);
      return times;
    },
    isLate: ({ source, station }, tMs, arrivedMs) => {
      if (tMs > source.seenMs) {
        if (source.seenMs === source.newestMs) moved.push(source);
        source.seenMs = tMs;
      }
      const late = tMs < source.newestMs - places.latenessMs || tMs < station.settledMs;
      if (!late) source.lateInRow = 0;
      // What is of the past is late for a reason: it is sent again, or brought in.
      else if (tMs > arrivedMs - PAST_MS) {
        source.lateInRow += 1;
        source.lateArrivedMs = arrivedMs;
      }
      return late;
    },
    endMessage: () => {
      for (let source = moved.pop(); source !== undefined; source = moved.pop()) {
        if (source.newestMs === source.savedMs) unsaved.push(source);
        source.newestMs = source.seenMs;
      }
    },
    settle: (name, beforeMs) => {
      const station = stationOf(name);
      if (beforeMs <= station.settledMs) return;
      station.settledMs = beforeMs;
      station.saved = false;
    },
    settledUntil: (series) => {
      const place = places.find(series);
      return place === undefined ? Number.POSITIVE_INFINITY : stationOf(place.station).settledMs;
    },
    newestBySource: () =>
      new Map([...sources.values()].filter((s) => s.newestMs > -Infinity).map((s) => [s.name, s.newestMs])),
    lateSources: () =>
      [...sources.values()].flatMap(({ name, lateInRow, lateArrivedMs, newestMs }) =>
        lateInRow === 0 ? [] : [{ source: name, readings: lateInRow, arrivedMs: lateArrivedMs, newestMs }],
      ),
    save: () => {
      for (const source of unsaved) putSource.run(source.name, source.newestMs);
      for (const station of stations.values()) if (!station.saved) putStation.run(station.name, station.settledMs);
    },
    settled: (committed) => {
      if (committed) for (const station of stations.values()) station.saved = true;
      for (const source of committed ? unsaved : [...moved, ...unsaved]) {
        if (committed) source.savedMs = source.newestMs;
        else source.newestMs = source.seenMs = source.savedMs;
      }
      moved = [];
      unsaved = [];
    },
  };
}

function sourceTime(name: string, newestMs: number): SourceTime {
  return { name, newestMs, seenMs: newestMs, savedMs: newestMs, lateInRow: 0, lateArrivedMs: -Infinity };
}
