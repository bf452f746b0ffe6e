import { plainWord, runId } from "../../spc/model/run.ts";
import { type Schedule, startOf } from "../schedule.ts";
import type { TrueLink, TrueRun } from "./true-run.ts";

/** All runs of one station: what each truly was, and what it came out of. */
export interface RunBook {
  readonly schedule: Schedule;
  /** The runs of one cycle of the schedule: one, or a ladle and its eight pours. */
  of(number: number): readonly TrueRun[];
}

export type Told = Omit<TrueRun, "id" | "station" | "number">;

export function book(station: string, schedule: Schedule, tell: (number: number, startMs: number) => Told): RunBook {
  return {
    schedule,
    of: (number) => {
      const one = tell(number, startOf(schedule, number));
      return [{ id: runId(station, one.startMs), station, number, ...one }];
    },
  };
}

export const link = (station: string, startMs: number, as: string, share = 1): TrueLink => ({
  run: runId(station, startMs),
  share,
  as,
});

/** Id of a run that goes by the name of its item: many of them are under way at once. */
export function itemRunId(station: string, item: string, startMs: number): string {
  return runId(`${station}~${plainWord(item)}`, startMs);
}

/** Mean of what never stops over a stretch of time. */
export function meanOf(at: (tMs: number) => number, fromMs: number, toMs: number, stepMs: number): number {
  const steps = Math.max(1, Math.round((toMs - fromMs) / stepMs));
  let sum = 0;
  for (let i = 0; i < steps; i += 1) sum += at(fromMs + ((i + 0.5) * (toMs - fromMs)) / steps);
  return sum / steps;
}

/** How many of the readings up to the last one were equal to it; those that were not given are passed over. */
export function equalReadings(reading: (number: number) => number | null, last: number): number {
  const newest = reading(last);
  let equal = 1;
  for (let number = last - 1; ; number -= 1) {
    const one = reading(number);
    if (one === null) continue;
    if (one !== newest) return equal;
    equal += 1;
  }
}
