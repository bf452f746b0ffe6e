import type { Site } from "./settings/site.ts";

export interface ShiftNow {
  readonly name: string;
  readonly sinceMs: number;
}

const dayMs = 86_400_000;

/** The shift that an instant belongs to: the newest start, on the site's own clock, that is not after it. */
export function shiftAt(site: Pick<Site, "shifts" | "zone">, nowMs: number): ShiftNow | null {
  // Two days back, because the clocks may have changed since midnight and a site may have one shift a day.
  const starts = [0, 1, 2].flatMap((back) => startsOn(site, nowMs - back * dayMs));
  const begun = starts.filter(({ sinceMs }) => sinceMs <= nowMs);
  return begun.reduce<ShiftNow | null>((best, s) => (best === null || s.sinceMs > best.sinceMs ? s : best), null);
}

/** When the shift that an instant belongs to ends: the next start after it; null at a site without shifts. */
export function shiftEndMs(site: Pick<Site, "shifts" | "zone">, atMs: number): number | null {
  // A day more than the longest shift, for the clocks may change in between.
  const starts = [-2, -1, 0, 1].flatMap((back) => startsOn(site, atMs - back * dayMs));
  const later = starts.filter(({ sinceMs }) => sinceMs > atMs).map(({ sinceMs }) => sinceMs);
  return later.length === 0 ? null : Math.min(...later);
}

function startsOn({ shifts, zone }: Pick<Site, "shifts" | "zone">, atMs: number): readonly ShiftNow[] {
  const day = wallClock(atMs, zone).slice(0, 10);
  return shifts.map(({ name, from }) => ({ name, sinceMs: instantOf(`${day}T${from}`, zone) }));
}

/** `2026-11-25T06:00` as the site's clocks show it. */
function wallClock(atMs: number, zone: string): string {
  const format = new Intl.DateTimeFormat("sv-SE", {
    timeZone: zone,
    year: "numeric",
    month: "2-digit",
    day: "2-digit",
    hour: "2-digit",
    minute: "2-digit",
  });
  return format.format(atMs).replace(" ", "T");
}

/** When the site's clocks show this. An hour that they skip counts from before the change. */
function instantOf(wall: string, zone: string): number {
  const asUtc = Date.parse(`${wall}Z`);
  const offset = (atMs: number): number => Date.parse(`${wallClock(atMs, zone)}Z`) - Math.floor(atMs / 60_000) * 60_000;
  const first = asUtc - offset(asUtc);
  // The offset is asked for again at the place it gave, for the day of the change itself.
  return asUtc - offset(first);
}
