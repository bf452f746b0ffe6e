const hourMs = 3_600_000;
const dayMs = 24 * hourMs;

/** 01:00 UTC on the last Sunday of a month (0 is January): when Central European clocks change. */
function lastSunday(year: number, month: number): number {
  const last = Date.UTC(year, month + 1, 0, 1);
  return last - new Date(last).getUTCDay() * dayMs;
}

/** How far the plant's clocks are ahead of UTC: an hour, and two from the last Sunday of March to that of October. */
export function clockAheadMs(tMs: number): number {
  const year = new Date(tMs).getUTCFullYear();
  const summer = lastSunday(year, 2) <= tMs && tMs < lastSunday(year, 9);
  return summer ? 2 * hourMs : hourMs;
}

/** Hour of the day on the plant's clocks, 0 <= h < 24. */
export function localHour(tMs: number): number {
  return ((((tMs + clockAheadMs(tMs)) % dayMs) + dayMs) % dayMs) / hourMs;
}

export interface Shift {
  readonly name: "early" | "late" | "night";
  readonly startMs: number;
  readonly endMs: number;
  /** Such as `2026-11-24 early`, by the date on which it began. */
  readonly label: string;
}

const names = ["night", "early", "late"] as const;

/** The shift that runs at a moment: from 06:00, 14:00 and 22:00 on the plant's clocks. */
export function shiftAt(tMs: number): Shift {
  const localMs = tMs + clockAheadMs(tMs);
  // Shifts begin at 22:00, 06:00 and 14:00: every eight hours from 22:00 on the day before.
  const index = Math.floor((localMs + 2 * hourMs) / (8 * hourMs));
  const startMs = toUtc(index * 8 * hourMs - 2 * hourMs);
  const endMs = toUtc((index + 1) * 8 * hourMs - 2 * hourMs);
  const name = names[((index % 3) + 3) % 3] as Shift["name"];
  const day = new Date(startMs + clockAheadMs(startMs)).toISOString().slice(0, 10);
  return { name, startMs, endMs, label: `${day} ${name}` };
}

/** No shift begins in the hours in which clocks change. */
function toUtc(localMs: number): number {
  return localMs - clockAheadMs(localMs - clockAheadMs(localMs - hourMs));
}

export function isNight(tMs: number): boolean {
  return shiftAt(tMs).name === "night";
}
