import type { SiteSeries, Station } from "../platform/settings/site.ts";
import type { SampleStore } from "../store/sample-store.ts";

/** A series that should be speaking now, and when it last did. */
export interface ExpectedSeries {
  readonly series: SiteSeries;
  readonly everyMs: number;
  /** It promises nothing between runs. */
  readonly inRun: boolean;
  /** Since when there is nothing that should have been there, source time; null before the first sample. */
  readonly sinceMs: number | null;
}

/**
 * The series of a station that have promised readings: those with a spacing at all times, and while a run is open
 * those with a spacing in runs.
 */
export function expectedSeries(
  store: SampleStore,
  station: Station,
  openSinceMs: number | null,
): readonly ExpectedSeries[] {
  return Object.values(station.series).flatMap((series) => {
    const everyMs = series.everyMs ?? (openSinceMs === null ? null : series.everyInRunMs);
    if (everyMs === null) return [];
    const newestMs = newestOf(store, series);
    const inRun = series.everyMs === null;
    const promisedMs = inRun ? openSinceMs : null;
    const sinceMs = newestMs === null ? null : Math.max(newestMs, promisedMs ?? newestMs);
    return [{ series, everyMs, inRun, sinceMs }];
  });
}

/** Newest stored time of a series; a waveform is stored as what it is reduced to. */
export function newestOf(store: Pick<SampleStore, "latest">, series: SiteSeries): number | null {
  return store.latest(series.kind === "waveform" ? `${series.id}.rms` : series.id)?.tMs ?? null;
}

/** Newest stored time of all series of a station; null before the first. */
export function newestOfStation(store: Pick<SampleStore, "latest">, { series }: Station): number | null {
  const times = Object.values(series).map((one) => newestOf(store, one));
  return times.reduce((a, b) => (b !== null && (a === null || b > a) ? b : a), null);
}
