import { standsCel } from "../calendar.ts";
import { runTrack } from "../channel.ts";
import { cut, type Emission, type Happening, remembering, type Station, type Track } from "../emission.ts";
import type { Fault, FaultPlan } from "../faults.ts";
import { ornsteinUhlenbeck } from "../ornstein-uhlenbeck.ts";
import type { PlantKey } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { afterLoadInMs, type OvenRuns, ovenSetCel, rampPerSecond, swingCel, swingSeconds } from "../runs/oven-load.ts";
import { doorTauMs, grown, stoppedFan, upsets } from "../runs/oven-upsets.ts";
import { type Cycle, cycleOf, cyclesBetween } from "../schedule.ts";

const everyMs = 1000;
const idleCel = 44;
const beforeUnloadMs = 30_000;
const unloadMs = 6 * 60_000;

/** Three thermocouples at 1 Hz, the door, and what marks a load going in and out. */
export function ovenStation(key: PlantKey, station: string, runs: OvenRuns, faults: FaultPlan): Station {
  const tracksOf = remembering((number) => tracks(key, station, cycleOf(runs.schedule, number), runs, faults));
  const emissions = (fromMs: number, toMs: number): Emission[] => {
    const out: Emission[] = [];
    for (const cycle of cyclesBetween(runs.schedule, fromMs, toMs)) {
      for (const track of tracksOf(cycle.number)) out.push(...cut(track, fromMs, toMs));
      out.push(...events(station, cycle, runs).filter((e) => fromMs <= e.tMs && e.tMs < toMs));
    }
    for (const { tMs, value } of faults.all("door-open", station).flatMap(doorOf)) {
      if (fromMs <= tMs && tMs < toMs) out.push(event(station, "door", tMs, value));
    }
    return out;
  };
  return { id: station, emissions };
}

function doorOf(fault: Fault): { tMs: number; value: number }[] {
  const opened = { tMs: Math.round(fault.fromMs), value: 1 };
  return Number.isFinite(fault.toMs) ? [opened, { tMs: Math.round(fault.toMs), value: 0 }] : [opened];
}

function event(station: string, role: string, tMs: number, value: number): Happening {
  return { kind: "event", series: `${station}/${role}`, tMs, value, attributes: {} };
}

function events(station: string, cycle: Cycle, runs: OvenRuns): Happening[] {
  const outMs = cycle.startMs + runs.loadLastsMs(cycle.number);
  const attributes = { load: `OL-${1000 + cycle.number}` };
  return [
    { ...event(station, "load", cycle.startMs, 1), attributes },
    event(station, "door", cycle.startMs + afterLoadInMs, 0),
    { ...event(station, "load", outMs, 0), attributes },
    // A load that is done in free time stays behind its door until somebody comes.
    ...(runs.schedule.calendar.works(outMs + beforeUnloadMs)
      ? [
          event(station, "door", outMs + beforeUnloadMs, 1),
          event(station, "door", outMs + beforeUnloadMs + unloadMs, 0),
        ]
      : []),
    event(station, "door", cycle.endMs - unloadMs, 1),
  ];
}

function tracks(key: PlantKey, station: string, cycle: Cycle, runs: OvenRuns, faults: FaultPlan): Track[] {
  const lastsMs = runs.loadLastsMs(cycle.number);
  const offset = runs.offset(cycle.number);
  const swingPhase = 2 * Math.PI * randomAt(key.seed, station, cycle.number, "swing").uniform();
  const upset = upsets(station, faults, cycle);
  const stopped = stoppedFan(station, faults);
  const drifts = faults.all("thermocouple-drift", station).length > 0;
  const traces = runs.positions.map((position, i) => {
    const random = randomAt(key.seed, station, cycle.number, `trace-${i + 1}`);
    const wander = ornsteinUhlenbeck(random, 0.25, 180, everyMs / 1000);
    const values: number[] = [];
    for (let t = 0; cycle.startMs + t < cycle.endMs; t += everyMs) {
      const swing = swingCel * Math.sin((2 * Math.PI * t) / 1000 / swingSeconds + swingPhase);
      const air = base(cycle, t, lastsMs, runs) + offset;
      // A limiter holds the oven, not what its thermocouples show of it: they go on swinging, wandering and hissing.
      const shown = position + swing + wander() + 0.05 * random.normal();
      const tMs = cycle.startMs + t;
      const drifted = drifts && i === 1 ? 0.15 * faults.grown("thermocouple-drift", station, tMs) : 0;
      values.push(upset(tMs, air) + shown + (i - 1) * 3 * stopped(tMs) + drifted);
    }
    return { series: `${station}/t${i + 1}`, unit: "Cel", digits: 1, startMs: cycle.startMs, everyMs, values };
  });
  return [...traces, ...besides(key, station, cycle, traces[0] as Track, faults)];
}

function besides(key: PlantKey, station: string, cycle: Cycle, first: Track, faults: FaultPlan): Track[] {
  const { startMs, endMs, number } = cycle;
  const cel = (tMs: number): number => first.values[Math.floor((tMs - startMs) / everyMs)] ?? idleCel;
  const doors = faults.all("door-open", station);
  const turning = (tMs: number): number => (faults.on("fan-stop", station, tMs) === undefined ? 4.2 : 0.1);
  // The same water in warmer air is a lower relative humidity; an open door lets more of it in.
  const moist = (tMs: number): number => {
    let open = 0;
    for (const f of doors) open += grown(f, tMs, (ms) => 1 - Math.exp(-ms / doorTauMs));
    return (14 + 10 * open) * Math.exp(-0.05 * (cel(tMs) - ovenSetCel));
  };
  const lastsMs = endMs - startMs;
  return [
    runTrack(
      key,
      station,
      number,
      { role: "rh", unit: "%", everyMs: 10_000, digits: 1, sd: 0.3, range: [0, 100], at: moist },
      startMs,
      lastsMs,
    ),
    runTrack(
      key,
      station,
      number,
      { role: "fan-current", unit: "A", everyMs, digits: 2, sd: 0.03, range: [0, 50], at: turning },
      startMs,
      lastsMs,
    ),
  ];
}

/** Ramp to the set point, hold, and cool down between loads. */
function base({ number, startMs }: Cycle, t: number, lastsMs: number, runs: OvenRuns): number {
  if (t < lastsMs)
    return Math.min(ovenSetCel, runs.startsCel(number) + Math.max(0, t - afterLoadInMs) * (rampPerSecond / 1000));
  const betweenCel = standsCel(runs.schedule.calendar, startMs + t, idleCel);
  return betweenCel + (ovenSetCel - betweenCel) * Math.exp(-Math.max(0, t - lastsMs - beforeUnloadMs) / 600_000);
}
