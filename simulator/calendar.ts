import { clockAheadMs } from "./site-clock.ts";

/** Days a week on which the plant works: all seven, or Monday to Friday in three shifts. */
export type Week = 5 | 7;

/** When the plant works. Working time runs with the clock while it does and stands still while nothing is made. */
export interface Calendar {
  /** Working time at a moment; in the week of the plant's first instant that of the clock. */
  worked(tMs: number): number;
  /** The moment at which that working time is reached; of the end of a week, the start of the next. */
  clock(workedMs: number): number;
  works(tMs: number): boolean;
  /** A length of working time later. */
  later(tMs: number, workedMs: number): number;
  /** The free time that a moment lies in, or else the last one before it; null where the plant never rests. */
  free(tMs: number): Free | null;
}

export interface Free {
  readonly fromMs: number;
  readonly toMs: number;
}

const hourMs = 3_600_000;
const dayMs = 24 * hourMs;
const workedPerWeekMs = 5 * dayMs;
/** A Monday at six on the plant's clocks, in winter. */
const mondayMs = Date.UTC(2026, 0, 5, 6);

/** Of a plant that never rests. */
export const everyDay: Calendar = {
  worked: (tMs) => tMs,
  clock: (workedMs) => workedMs,
  works: () => true,
  later: (tMs, workedMs) => tMs + workedMs,
  free: () => null,
};

/**
 * From Saturday at six, when Friday's night shift ends, until Monday at six nothing is begun; what was begun is finished.
 * Clocks change on Sundays: five days are always of 120 hours, the free time between may be of 47 or 49.
 */
export function calendarOf({ week = 7, firstMs }: { readonly week?: Week; readonly firstMs: number }): Calendar {
  if (week === 7) return everyDay;
  const own = weekOf(firstMs);
  const restsThen = firstMs >= startOfWeek(own) + workedPerWeekMs;
  const anchor = restsThen ? own + 1 : own;
  const anchorMs = startOfWeek(anchor);
  const worked = (tMs: number): number => {
    const at = weekOf(tMs);
    return anchorMs + (at - anchor) * workedPerWeekMs + Math.min(workedPerWeekMs, tMs - startOfWeek(at));
  };
  const clock = (workedMs: number): number => {
    const at = Math.floor((workedMs - anchorMs) / workedPerWeekMs);
    return startOfWeek(anchor + at) + (workedMs - anchorMs - at * workedPerWeekMs);
  };
  const free = (tMs: number): Free => {
    const at = weekOf(tMs);
    const fromMs = startOfWeek(at) + workedPerWeekMs;
    return tMs >= fromMs
      ? { fromMs, toMs: startOfWeek(at + 1) }
      : { fromMs: startOfWeek(at - 1) + workedPerWeekMs, toMs: startOfWeek(at) };
  };
  return {
    worked,
    clock,
    works: (tMs) => tMs < startOfWeek(weekOf(tMs)) + workedPerWeekMs,
    later: (tMs, lengthMs) => clock(worked(tMs) + lengthMs),
    free,
  };
}

/** Weeks since that Monday: of working days and the free time behind them. */
function weekOf(tMs: number): number {
  return Math.floor((tMs + clockAheadMs(tMs) - mondayMs) / (7 * dayMs));
}

/** No week begins in the hours in which clocks change. */
function startOfWeek(week: number): number {
  const localMs = mondayMs + week * 7 * dayMs;
  return localMs - clockAheadMs(localMs - hourMs);
}

/** How something is let down over free time and brought back up before it ends: time constants, and how long before. */
export interface LetDown {
  readonly fallMs: number;
  readonly riseMs: number;
  readonly beforeMs: number;
}

/** How far it is down: 0 in use, 1 at rest. */
export function letDown(calendar: Calendar, tMs: number, { fallMs, riseMs, beforeMs }: LetDown): number {
  const free = calendar.free(tMs);
  if (free === null) return 0;
  const onMs = free.toMs - beforeMs;
  if (tMs < onMs) return 1 - Math.exp(-(tMs - free.fromMs) / fallMs);
  return (1 - Math.exp(-(onMs - free.fromMs) / fallMs)) * Math.exp(-(tMs - onMs) / riseMs);
}

const hallCel = 20;

/** A chamber that is switched off over free days comes down to the hall, from what it has between two loads. */
export function standsCel(calendar: Calendar, tMs: number, betweenCel: number): number {
  return betweenCel - (betweenCel - hallCel) * letDown(calendar, tMs, chamber);
}

const chamber: LetDown = { fallMs: 3 * hourMs, riseMs: hourMs, beforeMs: 0 };
