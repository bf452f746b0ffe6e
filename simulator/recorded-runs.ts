import { faultPlan } from "./faults.ts";
import { dryers, oven, type PlantKey, pourStation, presses, tables } from "./plant-layout.ts";
import type { RecordedRun } from "./recorded-run.ts";
import { dryerRuns } from "./runs/dryer-load.ts";
import { flaskRuns } from "./runs/flask.ts";
import { ovenRuns } from "./runs/oven-load.ts";
import { pourRuns } from "./runs/pour.ts";
import { pressRuns } from "./runs/press-shot.ts";
import { steamHeader } from "./runs/steam-header.ts";
import { type Schedule, startOf } from "./schedule.ts";

/** What a station's people write down of a run: the run model with the error of measuring it, no trace. */
interface Recorder {
  readonly schedule: Schedule;
  recorded(number: number): RecordedRun;
}

/** The healthy runs of a station that began and ended in fromMs <= t < toMs, each as a site would have written it down. */
export function recordedRuns(key: PlantKey, station: string, fromMs: number, toMs: number, every = 1): RecordedRun[] {
  const recorder = recorderOf(key, station);
  const runs: RecordedRun[] = [];
  for (let number = numberFrom(recorder.schedule, fromMs, every); ; number += every) {
    const startMs = startOf(recorder.schedule, number);
    if (startMs >= toMs) return runs;
    if (startMs < fromMs) continue;
    const run = recorder.recorded(number);
    if (run.endMs <= toMs) runs.push(run);
  }
}

/** A multiple of `every` that surely starts before `fromMs`. */
function numberFrom({ originMs, periodMs, jitterMs }: Schedule, fromMs: number, every: number): number {
  return Math.floor((fromMs - jitterMs - originMs) / periodMs / every - 1) * every;
}

function recorderOf(key: PlantKey, station: string): Recorder {
  const healthy = faultPlan([]);
  if (has(presses, station)) return pressRuns(key, station, steamHeader(key, healthy), healthy);
  if (has(dryers, station)) return dryerRuns(key, station, healthy);
  if (has(tables, station)) return flaskRuns(key, station);
  if (station === oven) return ovenRuns(key, station);
  if (station === pourStation) return pourRuns(key, station);
  throw new RangeError(`the plant has no station ${station}`);
}

function has(stations: readonly string[], station: string): boolean {
  return stations.includes(station);
}
