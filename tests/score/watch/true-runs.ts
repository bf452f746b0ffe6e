import type { Fault } from "../../../simulator/faults.ts";
import type { PlantKey } from "../../../simulator/plant-layout.ts";
import { plantModel } from "../../../simulator/runs/model.ts";
import type { TrueRun } from "../../../simulator/runs/true-run.ts";
import { runBooks } from "../../../simulator/runs/true-runs.ts";
import { startedBy, startOf } from "../../../simulator/schedule.ts";

/** Runs of a cycle may begin some hours after it: flasks cool. */
const reachMs = 4 * 3_600_000;

/** What truly was: runs that began and ended in a stretch, with true features and true origins. */
export function trueRuns(key: PlantKey, faults: readonly Fault[], fromMs: number, toMs: number): TrueRun[] {
  const model = plantModel(key, faults);
  const books = [...runBooks(model)].map(([, book]) => book);
  return books.flatMap(({ schedule, of }) => {
    const found: TrueRun[] = [];
    let number = startedBy(schedule, fromMs - reachMs) - 1;
    for (; startOf(schedule, number) < toMs; number += 1) {
      found.push(...of(number).filter(({ startMs, endMs }) => startMs >= fromMs && endMs <= toMs));
    }
    return found;
  });
}
