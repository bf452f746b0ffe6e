import { dayMs, offsetAt, type Slot, slotAt } from "./clock-slot.ts";
import type { ShiftClock } from "./station-context.ts";

/** Weekdays as shifts count them; 1 January 1970 was a Thursday. */
export const weekdays = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"] as const;
const epochWeekday = 3;

export interface WorkingShift extends Slot {
  readonly name: string;
}

/**
 * The shift that works at an instant; null at a site without shifts, and on days on which the shift of that hour does not begin.
 *
 * @unit    ms since the epoch
 * @method  the last that began at or before this time of day; before the first of the day it is the last one of the day
 *          before. It lasts until the next begins, whether that one works or not
 * @source  derived here
 * @checked tests/unit/spc/segment/working-time.test.ts
 */
export function shiftAt(tMs: number, { shifts, offsets, freeDays }: ShiftClock): WorkingShift | null {
  const local = tMs + offsetAt(tMs, offsets);
  const day = Math.floor(local / dayMs);
  const begun = shifts.findLast(({ fromMs }) => fromMs <= local - day * dayMs);
  const shift = begun ?? shifts.at(-1);
  if (shift === undefined) return null;
  const began = day - (begun === undefined ? 1 : 0);
  const weekday = (((began + epochWeekday) % 7) + 7) % 7;
  if (shift.days?.includes(weekday) === false || freeDays?.includes(began) === true) return null;
  return { name: shift.name, ...slotAt(tMs, edgesOf(shifts), offsets) };
}

/**
 * The free time that an instant lies in: from the end of the last shift to the start of the next that works; null while one
 * works, and at a site without shifts.
 *
 * @unit    ms since the epoch
 * @cost    O(shifts of the free time)
 * @source  derived here
 * @checked tests/unit/spc/segment/working-time.test.ts
 */
export function freeTime(tMs: number, clock: ShiftClock): Slot | null {
  return clock.shifts.length === 0 ? null : stretchWhere(tMs, clock, (atMs) => shiftAt(atMs, clock) === null);
}

/**
 * The shifts without a free one between them that an instant lies in; null in free time, and where there is none. Where only
 * single days are free, no more is looked for than about a week.
 *
 * @unit    ms since the epoch
 * @cost    O(shifts of a week and of the free days)
 * @source  derived here
 * @checked tests/unit/spc/segment/working-time.test.ts
 */
export function workingTime(tMs: number, clock: ShiftClock): Slot | null {
  if (worksAlways(clock)) return null;
  return stretchWhere(tMs, clock, (atMs) => shiftAt(atMs, clock) !== null);
}

/**
 * Whether shifts begin on every day.
 *
 * @unit   dimensionless
 * @source derived here
 */
export function worksAlways({ shifts, freeDays = [] }: Pick<ShiftClock, "shifts" | "freeDays">): boolean {
  return freeDays.length === 0 && shifts.every(({ days }) => days === undefined);
}

/** Shifts one after the other for which it holds, from the one that the instant lies in; null if it does not hold there. */
function stretchWhere(
  tMs: number,
  { shifts, offsets, freeDays = [] }: ShiftClock,
  holds: (tMs: number) => boolean,
): Slot | null {
  if (!holds(tMs)) return null;
  const edges = edgesOf(shifts);
  let { startMs, endMs } = slotAt(tMs, edges, offsets);
  // No free time is longer than a week and the free days, or it has no end.
  const most = (7 + freeDays.length) * edges.length;
  for (let i = 0; i < most && holds(startMs - 1); i += 1) startMs = slotAt(startMs - 1, edges, offsets).startMs;
  for (let i = 0; i < most && holds(endMs); i += 1) endMs = slotAt(endMs, edges, offsets).endMs;
  return { startMs, endMs };
}

function edgesOf(shifts: ShiftClock["shifts"]): readonly number[] {
  return shifts.map(({ fromMs }) => fromMs);
}
