import type { Calendar } from "./calendar.ts";
import { randomAt } from "./random.ts";

/** When a station starts what: number 0 is the first run after the plant's first instant, history has negative ones. */
export interface Schedule {
  readonly station: string;
  readonly seed: number;
  readonly calendar: Calendar;
  /** Nominal start of run 0, in working time. */
  readonly originMs: number;
  /** Working time from one start to the next. */
  readonly periodMs: number;
  /** A start may come this much earlier or later than nominal. */
  readonly jitterMs: number;
}

/** One run and the idle time after it, up to the next run's start. */
export interface Cycle {
  readonly number: number;
  readonly startMs: number;
  readonly endMs: number;
}

export function startOf(schedule: Schedule, number: number): number {
  const shift = (2 * randomAt(schedule.seed, schedule.station, number, "start").uniform() - 1) * schedule.jitterMs;
  return schedule.calendar.clock(Math.round(schedule.originMs + number * schedule.periodMs + Math.round(shift)));
}

/** The run whose nominal start is the last before a moment, as a fraction: 2.5 is half a period after that of run 2. */
export function placeOf({ calendar, originMs, periodMs }: Schedule, tMs: number): number {
  return (calendar.worked(tMs) - originMs) / periodMs;
}

/** A number whose run has surely started by a moment, and those before it with it. */
export function startedBy(schedule: Schedule, tMs: number): number {
  const { calendar, originMs, periodMs, jitterMs } = schedule;
  return Math.floor((calendar.worked(tMs) - jitterMs - originMs) / periodMs);
}

export function cycleOf(schedule: Schedule, number: number): Cycle {
  return { number, startMs: startOf(schedule, number), endMs: startOf(schedule, number + 1) };
}

/** The cycles that have a moment in fromMs <= t < toMs, in order. */
export function cyclesBetween(schedule: Schedule, fromMs: number, toMs: number): Cycle[] {
  const cycles: Cycle[] = [];
  let number = startedBy(schedule, fromMs) - 1;
  for (; ; number += 1) {
    const cycle = cycleOf(schedule, number);
    if (cycle.startMs >= toMs) return cycles;
    if (cycle.endMs > fromMs) cycles.push(cycle);
  }
}
