import { happening, runTrack, single } from "../channel.ts";
import { cut, type Emission, type Happening, remembering, type Station, type Track } from "../emission.ts";
import type { Fault, FaultPlan } from "../faults.ts";
import { ambientPressureHpa, type PlantKey } from "../plant-layout.ts";
import { quickNormal, randomAt } from "../random.ts";
import type { PressRuns, PressShot } from "../runs/press-shot.ts";
import type { Services } from "../runs/services.ts";
import { burnerSaw } from "../runs/steam-header.ts";
import { type Cycle, cycleOf, cyclesBetween } from "../schedule.ts";
import { chamber, seenPressure, vacuumOf } from "./press-chamber.ts";

const idleEveryMs = 1000;
const whiteBar = 0.006;
const sliceDigits = 1;

/** Chamber, header, tool and vacuum of a press, with the controller's step numbers and the scale's weights. */
export function pressStation(
  key: PlantKey,
  station: string,
  runs: PressRuns,
  header: (tMs: number) => number,
  surroundings: Services,
  faults: FaultPlan,
): Station {
  const traceOf = remembering((number) => {
    const cycle = cycleOf(runs.schedule, number);
    const shot = runs.shot(number);
    const beside = besides(key, station, cycle, shot, header, surroundings, faults);
    return { shot, tracks: pressures(key, station, cycle, shot, faults), beside };
  });
  const frozenAt = remembering((fromMs): number => {
    const [cycle] = cyclesBetween(runs.schedule, fromMs, fromMs + 1);
    const { tracks } = traceOf((cycle as Cycle).number);
    return Math.max(...tracks.map((t) => lastBefore(t, fromMs) ?? Number.NEGATIVE_INFINITY));
  }, 16);
  const emissions = (fromMs: number, toMs: number): Emission[] => {
    const out: Emission[] = [];
    const stuck = faults.all("stuck-pressure", station).filter((f) => f.fromMs < toMs && f.toMs > fromMs);
    for (const cycle of cyclesBetween(runs.schedule, fromMs, toMs)) {
      const { shot, tracks, beside } = traceOf(cycle.number);
      for (const track of tracks) {
        for (const piece of cut(track, fromMs, toMs))
          out.push(stuck.length === 0 ? piece : frozen(piece, stuck, frozenAt));
      }
      for (const track of beside) out.push(...cut(track, fromMs, toMs));
      for (const one of stepEvents(station, cycle.startMs, shot)) {
        if (fromMs <= one.tMs && one.tMs < toMs) out.push(one);
      }
    }
    return out;
  };
  return { id: station, emissions };
}

type Block = ReturnType<typeof cut>[number];

function frozen(piece: Block, stuck: readonly Fault[], frozenAt: (fromMs: number) => number): Block {
  const values = piece.values.map((value, i) => {
    const tMs = piece.tMs + i * piece.everyMs;
    const fault = stuck.find((f) => f.fromMs <= tMs && tMs < f.toMs);
    return fault === undefined ? value : Math.round(frozenAt(fault.fromMs) * 1000) / 1000;
  });
  return { ...piece, values };
}

function stepEvents(station: string, startMs: number, shot: PressShot): Happening[] {
  const attributes = { part: shot.part, tool: shot.tool, fill: shot.bead.name };
  let tMs = startMs;
  return [...shot.steps, { step: 0, lastsMs: 0 }].map(({ step, lastsMs }) => {
    const one = happening(station, "step", tMs, step, attributes);
    tMs += lastsMs;
    return one;
  });
}

/** Chamber pressure over the whole cycle: the shot, then idle until the next one. */
function pressures(key: PlantKey, station: string, cycle: Cycle, shot: PressShot, faults: FaultPlan): Track[] {
  const during = seenPressure(key, station, cycle, shot, faults);
  const idleFromMs = cycle.startMs + during.length * 50;
  const noise = quickNormal(randomAt(key.seed, station, cycle.number, "idle"));
  const drift = 0.02 * (faults.grown("zero-drift", station, cycle.startMs) / 7);
  const idle: number[] = [];
  for (let t = idleFromMs; t < cycle.endMs; t += idleEveryMs) idle.push(drift + whiteBar * noise());
  const common = { series: `${station}/pressure`, unit: "bar", digits: 3 };
  return [
    { ...common, startMs: cycle.startMs, everyMs: 50, values: during },
    { ...common, startMs: idleFromMs, everyMs: idleEveryMs, values: idle },
  ];
}

/** What stands beside the chamber's pressure, during the shot alone. */
function besides(
  key: PlantKey,
  station: string,
  { number, startMs }: Cycle,
  shot: PressShot,
  header: (tMs: number) => number,
  surroundings: Services,
  faults: FaultPlan,
): Track[] {
  const { lastsMs, sliceG } = shot;
  const waterCel = surroundings.coolingWaterCel(startMs);
  const { chamberCel, toolCel } = chamber(station, startMs, shot, waterCel, ambientPressureHpa / 1000, faults);
  const bar = { unit: "bar", sd: 0.004 };
  const cel = { unit: "Cel", digits: 1 };
  const run = (channel: Parameters<typeof runTrack>[3]): Track =>
    runTrack(key, station, number, channel, startMs, lastsMs);
  const weighedMs = startMs + lastsMs - 800;
  return [
    run({
      role: "chamber-t",
      ...cel,
      everyMs: 200,
      sd: 0.25,
      at: (t) => chamberCel[Math.floor((t - startMs) / 200)] as number,
    }),
    run({ role: "header", ...bar, everyMs: 1000, digits: 2, at: (t) => header(t) + burnerSaw(t).bar }),
    run({
      role: "tool-t",
      ...cel,
      everyMs: 1000,
      sd: 0.2,
      at: (t) => toolCel[Math.floor((t - startMs) / 1000)] as number,
    }),
    run({ role: "cooling-water-t", ...cel, everyMs: 1000, sd: 0.05, at: (t) => surroundings.coolingWaterCel(t) }),
    run({ role: "vacuum", ...bar, everyMs: 200, digits: 3, at: vacuumOf(startMs, shot) }),
    single(station, "weight-1", "g", sliceDigits, weighedMs, sliceG[0]),
    single(station, "weight-2", "g", sliceDigits, weighedMs + 100, sliceG[1]),
  ];
}

function lastBefore(track: Track, tMs: number): number | undefined {
  const index = Math.floor((tMs - track.startMs) / track.everyMs);
  return index < 0 ? undefined : track.values[index];
}
