import type { SiteTimes } from "./times.ts";

/** When the run began, read from its id `STATION:20261125T080512345Z`; null for an id of another form. */
export function runStartMs(id: string): number | null {
  const found = /:(\d{4})(\d{2})(\d{2})T(\d{2})(\d{2})(\d{2})(\d{3})Z$/.exec(id);
  if (found === null) return null;
  const [, year, month, date, h, m, s, ms] = found.map(Number);
  return Date.UTC(year!, month! - 1, date!, h!, m!, s!, ms!);
}

/** How people name a run: `shot 02:14:05`, with the day when it is not today's. */
export function runName(id: string, word: string, times: SiteTimes, now: number): string {
  const start = runStartMs(id);
  if (start === null) return `${word} ${id.slice(id.indexOf(":") + 1)}`;
  const today = times.near(start, now) === times.minute(start);
  return today ? `${word} ${times.clock(start)}` : `${word} ${times.day(start)} ${times.minute(start)}`;
}
