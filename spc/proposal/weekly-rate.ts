const DAY_MS = 24 * 3_600_000;
export const WEEK_MS: number = 7 * DAY_MS;
/** Long enough for every weekday and shift, short enough to be about now. */
const LOOK_BACK_MS = 4 * WEEK_MS;
/** Fewer points say less of the pace than the settings do. */
const FEWEST = 10;

/**
 * Points a week at the pace of the newest four weeks, pauses included; by the expected spacing where there are few.
 *
 * @shape   times of points in order, ms; the expected spacing, ms
 * @unit    points a week
 */
export function weeklyRate(timesMs: readonly number[], everyMs: number): number {
  const last = timesMs.at(-1) ?? 0;
  const recent = timesMs.filter((atMs) => last - atMs <= LOOK_BACK_MS);
  const spanMs = last - (recent[0] ?? last);
  // A handful of hours says nothing of nights and weekends.
  if (recent.length < FEWEST || spanMs < DAY_MS) return WEEK_MS / everyMs;
  return ((recent.length - 1) * WEEK_MS) / spanMs;
}
