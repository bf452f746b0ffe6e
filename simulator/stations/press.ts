import { cut, type Emission, remembering, type Station, type Track } from "../emission.ts";
import type { Fault, FaultPlan } from "../faults.ts";
import { ornsteinUhlenbeck } from "../ornstein-uhlenbeck.ts";
import type { PlantKey } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import type { PressRuns, PressShot } from "../runs/press-shot.ts";
import { type Cycle, cycleOf, cyclesBetween } from "../schedule.ts";

const shotEveryMs = 50;
const idleEveryMs = 1000;
const whiteBar = 0.006;

/** Chamber steam pressure, 20 Hz during the shot and 1 Hz between, with the controller's step numbers. */
export function pressStation(key: PlantKey, station: string, runs: PressRuns, faults: FaultPlan): Station {
  const traceOf = remembering((number) => {
    const cycle = cycleOf(runs.schedule, number);
    const shot = runs.shot(number);
    return { shot, tracks: tracks(key, station, cycle, shot) };
  });
  const frozenAt = (fault: Fault): number => {
    const [cycle] = cyclesBetween(runs.schedule, fault.fromMs, fault.fromMs + 1);
    const { tracks } = traceOf((cycle as Cycle).number);
    return Math.max(...tracks.map((t) => lastBefore(t, fault.fromMs) ?? Number.NEGATIVE_INFINITY));
  };
  const emissions = (fromMs: number, toMs: number): Emission[] => {
    const out: Emission[] = [];
    for (const cycle of cyclesBetween(runs.schedule, fromMs, toMs)) {
      const { shot, tracks } = traceOf(cycle.number);
      for (const track of tracks) {
        for (const piece of cut(track, fromMs, toMs)) {
          const values = piece.values.map((value, i) => {
            const fault = faults.on("stuck-pressure", station, piece.tMs + i * piece.everyMs);
            return fault === undefined ? value : Math.round(frozenAt(fault) * 1000) / 1000;
          });
          out.push({ ...piece, values });
        }
      }
      out.push(...stepEvents(station, cycle.startMs, shot, fromMs, toMs));
    }
    return out;
  };
  return { id: station, emissions };
}

function stepEvents(station: string, startMs: number, shot: PressShot, fromMs: number, toMs: number): Emission[] {
  const attributes = { part: shot.part, tool: shot.tool };
  const events: Emission[] = [];
  let tMs = startMs;
  for (const { step, lastsMs } of [...shot.steps, { step: 0, lastsMs: 0 }]) {
    if (fromMs <= tMs && tMs < toMs)
      events.push({ kind: "event", series: `${station}/step`, tMs, value: step, attributes });
    tMs += lastsMs;
  }
  return events;
}

/** The whole cycle: the shot, then idle until the next one. */
function tracks(key: PlantKey, station: string, cycle: Cycle, shot: PressShot): Track[] {
  const random = randomAt(key.seed, station, cycle.number, "trace");
  const slow = ornsteinUhlenbeck(random, 0.005, 1.5, shotEveryMs / 1000);
  const during: number[] = [];
  let pressure = 0;
  let step = 0;
  let stepEndsMs = (shot.steps[0] as { lastsMs: number }).lastsMs;
  for (let t = 0; t < shot.lastsMs; t += shotEveryMs) {
    while (t >= stepEndsMs) {
      step += 1;
      stepEndsMs += (shot.steps[step] as { lastsMs: number }).lastsMs;
    }
    const { toward, tauSeconds } = shot.steps[step] as PressShot["steps"][number];
    pressure = toward + (pressure - toward) * Math.exp(-shotEveryMs / 1000 / tauSeconds);
    during.push(pressure + slow() + whiteBar * random.normal());
  }
  const idleFromMs = cycle.startMs + during.length * shotEveryMs;
  const idle: number[] = [];
  for (let t = idleFromMs; t < cycle.endMs; t += idleEveryMs) idle.push(whiteBar * random.normal());
  const common = { series: `${station}/pressure`, unit: "bar", digits: 3 };
  return [
    { ...common, startMs: cycle.startMs, everyMs: shotEveryMs, values: during },
    { ...common, startMs: idleFromMs, everyMs: idleEveryMs, values: idle },
  ];
}

function lastBefore(track: Track, tMs: number): number | undefined {
  const index = Math.floor((tMs - track.startMs) / track.everyMs);
  return index < 0 ? undefined : track.values[index];
}
