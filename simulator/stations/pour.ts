import { cut, type Emission, remembering, type Station, type Track } from "../emission.ts";
import type { FaultPlan } from "../faults.ts";
import type { PlantKey } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import type { PourRuns } from "../runs/pour.ts";
import { cyclesBetween, startOf } from "../schedule.ts";

const everyMs = 100;
const fallPerSecond = 0.4;
const coldKelvin = 30;
const rippleKelvin = 1.5;

/** The stream pyrometer at 10 Hz while metal flows, and the robot's marks of start and stop. */
export function pourStationOf(key: PlantKey, station: string, runs: PourRuns, faults: FaultPlan): Station {
  const trackOf = remembering((number): Track => {
    const { firstCel, lastsMs } = runs.pour(number);
    const startMs = startOf(runs.schedule, number);
    const random = randomAt(key.seed, station, number, "trace");
    const cold = faults.on("cold-metal", station, startMs) === undefined ? 0 : coldKelvin;
    const values: number[] = [];
    for (let t = 0; t < lastsMs; t += everyMs) {
      values.push(firstCel - cold - fallPerSecond * (t / 1000) + rippleKelvin * random.normal());
    }
    return { series: `${station}/stream`, unit: "Cel", digits: 1, startMs, everyMs, values };
  });
  const emissions = (fromMs: number, toMs: number): Emission[] => {
    const out: Emission[] = [];
    for (const cycle of cyclesBetween(runs.schedule, fromMs, toMs)) {
      const { part, flask, ladle, lastsMs } = runs.pour(cycle.number);
      if (cycle.startMs + lastsMs + everyMs < fromMs) continue;
      out.push(...cut(trackOf(cycle.number), fromMs, toMs));
      const attributes = { part: part.id, flask, ladle };
      const marks = [
        { tMs: cycle.startMs, value: 1 },
        { tMs: cycle.startMs + lastsMs, value: 0 },
      ];
      for (const { tMs, value } of marks) {
        if (fromMs <= tMs && tMs < toMs) out.push({ kind: "event", series: `${station}/pour`, tMs, value, attributes });
      }
    }
    return out;
  };
  return { id: station, emissions };
}
