import type { Emission, Station } from "../emission.ts";
import type { FaultPlan } from "../faults.ts";
import type { PlantKey } from "../plant-layout.ts";
import { type Flask, type FlaskRuns, tableSeconds, tableStages } from "../runs/flask.ts";
import { cyclesBetween } from "../schedule.ts";
import { type Shaking, shake } from "./shake.ts";

const rateHz = 2048;
/** g a count of the 16-bit samples. */
const scale = 0.001;

/** Three axes of table acceleration, a second a message while the table runs, and the stages of its programme. */
export function compactionTable(key: PlantKey, station: string, runs: FlaskRuns, faults: FaultPlan): Station {
  const emissions = (fromMs: number, toMs: number): Emission[] => {
    const out: Emission[] = [];
    // A flask that began before `fromMs` may still be shaking; cycles that only idle cost nothing.
    for (const cycle of cyclesBetween(runs.schedule, fromMs - 1000, toMs)) {
      const flask = runs.flask(cycle.number);
      out.push(...stageEvents(station, cycle.startMs, flask, fromMs, toMs));
      // The last second is the coast down after the programme's end. A second belongs where it ends.
      const first = Math.max(0, Math.ceil((fromMs - cycle.startMs) / 1000) - 1);
      for (let second = first; second <= tableSeconds; second += 1) {
        const tMs = cycle.startMs + second * 1000;
        if (tMs + 1000 >= toMs) break;
        const shaking: Shaking = {
          key,
          station,
          number: cycle.number,
          flask,
          motorOut: faults.on("motor-out", station, tMs) !== undefined,
          looseClamp: faults.on("loose-clamp", station, tMs) !== undefined,
          rateHz,
          scale,
        };
        const [x, y, z] = shake(shaking, second);
        const axes = { [`${station}/vibration-x`]: x, [`${station}/vibration-y`]: y, [`${station}/vibration-z`]: z };
        out.push({ kind: "waveform", tMs, rateHz, unit: "[g]", scale, axes });
      }
    }
    return out;
  };
  return { id: station, emissions };
}

function stageEvents(station: string, startMs: number, flask: Flask, fromMs: number, toMs: number): Emission[] {
  const attributes = { flask: flask.flask, part: flask.part };
  const events: Emission[] = [];
  let tMs = startMs;
  for (const { stage, seconds } of [...tableStages, { stage: 0, seconds: 0 }]) {
    if (fromMs <= tMs && tMs < toMs)
      events.push({ kind: "event", series: `${station}/stage`, tMs, value: stage, attributes });
    tMs += seconds * 1000;
  }
  return events;
}
