import { runTrack } from "../channel.ts";
import { cut, type Emission, remembering, type Station, type Track } from "../emission.ts";
import type { FaultPlan } from "../faults.ts";
import { clusterName } from "../lineage.ts";
import type { PlantKey } from "../plant-layout.ts";
import { type Flask, type FlaskRuns, tableSeconds, tableStages } from "../runs/flask.ts";
import { cyclesBetween, startOf } from "../schedule.ts";
import { type Shaking, shake } from "./shake.ts";

const rateHz = 2048;
/** g a count of the 16-bit samples. */
const scale = 0.001;

/** Three axes of table acceleration and one of the flask's wall, a second a message while the table runs, and the stages of its programme. */
export function compactionTable(
  key: PlantKey,
  station: string,
  runs: FlaskRuns,
  dried: (flask: Flask) => Readonly<Record<string, string>>,
  faults: FaultPlan,
): Station {
  const besidesOf = remembering((number) => besides(key, station, runs, number, faults));
  const emissions = (fromMs: number, toMs: number): Emission[] => {
    const out: Emission[] = [];
    // A flask that began before `fromMs` may still be shaking; cycles that only idle cost nothing.
    for (const cycle of cyclesBetween(runs.schedule, fromMs - 1000, toMs)) {
      const flask = runs.flask(cycle.number);
      out.push(...stageEvents(station, cycle.startMs, flask, dried(flask), fromMs, toMs));
      if (cycle.startMs + tableSeconds * 1000 > fromMs) {
        for (const track of besidesOf(cycle.number)) out.push(...cut(track, fromMs, toMs));
      }
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
          lostSync: faults.on("lost-sync", station, tMs) !== undefined,
          looseClamp: faults.size("loose-clamp", station, tMs),
          looseSensor: faults.size("loose-sensor", station, tMs),
          bearing: faults.size("bearing", station, tMs),
          dropouts: faults.size("cable-intermittent", station, tMs) / 3,
          reversed: faults.on("axis-reversed", station, tMs) !== undefined,
          rateHz,
          scale,
        };
        const { x, y, z, wall } = shake(shaking, second);
        const axes = {
          [`${station}/vibration-x`]: x,
          [`${station}/vibration-y`]: y,
          [`${station}/vibration-z`]: z,
          [`${station}/wall-z`]: wall,
        };
        out.push({ kind: "waveform", tMs, rateHz, unit: "[g]", scale, axes });
      }
    }
    return out;
  };
  return { id: station, emissions };
}

/** Motors, drive, clamp, sand: all that is read beside the vibration while the table runs. */
function besides(key: PlantKey, station: string, runs: FlaskRuns, number: number, faults: FaultPlan): Track[] {
  const startMs = startOf(runs.schedule, number);
  const { fillKg, frequencyHz, sandCel } = runs.flask(number);
  const out = faults.on("motor-out", station, startMs) !== undefined;
  const phase = 1 + 0.4 * faults.size("phase-lost", station, startMs);
  const loose = faults.size("loose-clamp", station, startMs);
  const [bed, fill] = [(tableStages[0].seconds as number) * 1000, (tableStages[1].seconds as number) * 1000];
  const mass = (tMs: number): number => {
    const t = tMs - startMs;
    if (t < bed) return (60 * t) / bed;
    return 60 + (fillKg - 60) * Math.min(1, (t - bed) / (fill - 2000));
  };
  const load = (tMs: number): number => 6.2 + (0.05 * mass(tMs)) / 100;
  const amperes = { unit: "A", everyMs: 100, digits: 2, sd: 0.04, range: [0, 100] } as const;
  const run = (channel: Parameters<typeof runTrack>[3]): Track =>
    runTrack(key, station, number, channel, startMs, tableSeconds * 1000);
  return [
    run({ role: "motor-1", ...amperes, at: (t) => load(t) * phase }),
    run({ role: "motor-2", ...amperes, at: out ? () => 0 : load }),
    run({ role: "drive-hz", unit: "Hz", everyMs: 1000, digits: 2, sd: 0.01, at: () => frequencyHz }),
    run({ role: "clamp", unit: "bar", everyMs: 1000, digits: 2, sd: 0.02, at: () => 6 - 2.2 * Math.min(1, loose) }),
    run({ role: "fill-mass", unit: "kg", everyMs: 200, digits: 1, sd: 0.4, range: [0, 2000], at: mass }),
    run({ role: "sand-t", unit: "Cel", everyMs: 1000, digits: 1, sd: 0.1, at: () => sandCel }),
  ];
}

function stageEvents(
  station: string,
  startMs: number,
  flask: Flask,
  dried: Readonly<Record<string, string>>,
  fromMs: number,
  toMs: number,
): Emission[] {
  const attributes = {
    flask: flask.flask,
    part: flask.part,
    cluster: clusterName(flask.cluster),
    medium: "quartz",
    ...dried,
  };
  const events: Emission[] = [];
  let tMs = startMs;
  for (const { stage, seconds } of [...tableStages, { stage: 0, seconds: 0 }]) {
    if (fromMs <= tMs && tMs < toMs)
      events.push({ kind: "event", series: `${station}/stage`, tMs, value: stage, attributes });
    tMs += seconds * 1000;
  }
  return events;
}
