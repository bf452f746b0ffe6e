import type { Fault } from "./faults.ts";
import type { PlantKey } from "./plant-layout.ts";
import { randomAt } from "./random.ts";
import { measured, type RecordedRun } from "./recorded-run.ts";
import { plantModel } from "./runs/model.ts";
import type { RunBook } from "./runs/run-book.ts";
import { runBooks } from "./runs/true-runs.ts";
import { placeOf, type Schedule, startOf } from "./schedule.ts";

/** What a station's people write down of a run: the run model with the error of measuring it, no trace. */
interface Recorder {
  readonly schedule: Schedule;
  recorded(number: number): readonly RecordedRun[];
}

/** The runs of a station that began and ended in fromMs <= t < toMs, each as a site would have written it down. */
export function recordedRuns(
  key: PlantKey,
  station: string,
  fromMs: number,
  toMs: number,
  every = 1,
  faults: readonly Fault[] = [],
): RecordedRun[] {
  const recorder = recorderOf(key, station, faults);
  const runs: RecordedRun[] = [];
  for (let number = numberFrom(recorder.schedule, fromMs, every); ; number += every) {
    if (startOf(recorder.schedule, number) >= toMs) return runs;
    runs.push(...recorder.recorded(number).filter((run) => run.startMs >= fromMs && run.endMs <= toMs));
  }
}

/** A multiple of `every` that surely starts before `fromMs`. */
function numberFrom(schedule: Schedule, fromMs: number, every: number): number {
  return Math.floor((placeOf(schedule, fromMs) - schedule.jitterMs / schedule.periodMs) / every - 2) * every;
}

function recorderOf(key: PlantKey, station: string, faults: readonly Fault[]): Recorder {
  const model = plantModel(key, faults);
  const book = runBooks(model).get(station);
  if (book === undefined) throw new RangeError(`the plant has no runs of ${station}`);
  return { schedule: book.schedule, recorded: (number) => recordedOf(key, book, number) };
}

function recordedOf(key: PlantKey, book: RunBook, number: number): RecordedRun[] {
  return book.of(number).map(({ id, station, startMs, endMs, part, features }, place) => {
    const random = randomAt(key.seed, station, mostOfCycle * number + place, "recorded");
    return { id, station, startMs, endMs, part, features: measured(features, random) };
  });
}

/** More runs than any station has in one cycle of its schedule. */
const mostOfCycle = 16;
