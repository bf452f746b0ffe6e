import { happening, marks, runTrack, single } from "../channel.ts";
import { cyclicStation, type Piece } from "../cyclic.ts";
import type { Happening, Station, Track } from "../emission.ts";
import type { FaultPlan } from "../faults.ts";
import { dewCel } from "../humid-air.ts";
import type { PlantKey } from "../plant-layout.ts";
import { quickNormal, randomAt } from "../random.ts";
import { type DryerRuns, type DryerTrace, dryerEveryMs } from "../runs/dryer-load.ts";
import { type Cycle, cyclesBetween } from "../schedule.ts";

const clusters = "60";
/** How far the three places in the chamber stand from the return air, K. */
const places = [0.6, -0.2, -0.5] as const;

export function loadName(station: string, number: number): string {
  return `DL-${station.slice(-1)}${2000 + number}`;
}

/** Probes in supply and return air, three places in the chamber, dehumidifier, fan, air flow, witness and door. */
export function dryerStation(key: PlantKey, station: string, runs: DryerRuns, faults: FaultPlan): Station {
  const piece = (cycle: Cycle): Piece => {
    const lastsMs = runs.loadLastsMs(cycle.number);
    const load = loadName(station, cycle.number);
    const attributes = { clusters, part: runs.part(cycle.number), load, pair: "matched" };
    const trace = runs.trace(cycle.number);
    const weighed = randomAt(key.seed, station, cycle.number, "weighed");
    const given = [
      single(station, "expected-water", "kg", 1, cycle.startMs + 1000, trace.startKg + 0.3 * weighed.normal()),
      single(station, "dry-coat", "kg", 1, cycle.startMs + 1000, trace.dryCoatKg + 0.1 * weighed.normal()),
    ];
    return {
      tracks: [...probes(key, station, cycle, trace, faults), ...chamber(key, station, cycle, trace, faults), ...given],
      happenings: [...marks(station, "load", cycle.startMs, cycle.startMs + lastsMs, attributes), ...doors(cycle)],
    };
  };
  const doors = (cycle: Cycle): Happening[] =>
    faults.all("door-open", station).flatMap(({ fromMs, toMs }) => {
      const [own] = cyclesBetween(runs.schedule, fromMs, fromMs + 1);
      if (own?.number !== cycle.number) return [];
      const opened = happening(station, "door", Math.round(fromMs), 1);
      return Number.isFinite(toMs) ? [opened, happening(station, "door", Math.round(toMs), 0)] : [opened];
    });
  return cyclicStation(station, runs.schedule, piece, null, runs.schedule.periodMs);
}

function probes(key: PlantKey, station: string, cycle: Cycle, trace: DryerTrace, faults: FaultPlan): Track[] {
  const { startMs, number } = cycle;
  const track = (role: string, unit: string, clean: readonly number[], sd: number, splash = false): Track => {
    const noise = quickNormal(randomAt(key.seed, station, number, role));
    // A humidity probe reads no less than nothing and no more than saturation.
    const top = unit === "%" ? 100 : Number.POSITIVE_INFINITY;
    const values = Float64Array.from(clean, (value, i) => {
      const off = splash ? 4 * faults.size("probe-splash", station, startMs + i * dryerEveryMs) : 0;
      return Math.min(top, Math.max(0, value + off + sd * noise()));
    });
    return { series: `${station}/${role}`, unit, digits: 1, startMs, everyMs: dryerEveryMs, values };
  };
  return [
    track("supply-rh", "%", trace.supplyRh, 0.3),
    track("return-rh", "%", trace.returnRh, 0.3, true),
    track("supply-t", "Cel", trace.supplyCel, 0.15),
    track("return-t", "Cel", trace.returnCel, 0.15),
  ];
}

function chamber(key: PlantKey, station: string, cycle: Cycle, trace: DryerTrace, faults: FaultPlan): Track[] {
  const { startMs, endMs, number } = cycle;
  const lastsMs = endMs - startMs;
  const at = (values: readonly number[], tMs: number): number =>
    values[Math.min(values.length - 1, Math.floor((tMs - startMs) / dryerEveryMs))] as number;
  const air = (tMs: number): number => at(trace.airKgPerSecond, tMs);
  const run = (channel: Parameters<typeof runTrack>[3]): Track =>
    runTrack(key, station, number, channel, startMs, lastsMs);
  const touching = (tMs: number): number => faults.size("witness-touches", station, tMs);
  const witness = (tMs: number): number => {
    const water = at(trace.waterKg, tMs) + trace.dryCoatKg;
    return water - 3 * touching(tMs);
  };
  const every = { everyMs: 10_000 };
  return [
    ...places.map((off, i) =>
      run({ role: `t${i + 1}`, unit: "Cel", digits: 1, sd: 0.1, ...every, at: (t) => at(trace.returnCel, t) + off }),
    ),
    run({
      role: "dew",
      unit: "Cel",
      digits: 1,
      sd: 0.15,
      everyMs: 60_000,
      at: (t) => dewCel(at(trace.supplyRh, t), at(trace.supplyCel, t)),
    }),
    run({
      role: "fan-current",
      unit: "A",
      digits: 1,
      sd: 0.05,
      ...every,
      range: [0, 50],
      at: (t) => (air(t) === 0 ? 0 : 4 + 12.7 * air(t)),
    }),
    run({ role: "airflow", unit: "kg/s", digits: 3, sd: 0.004, ...every, range: [0, 5], at: air }),
    run({ role: "witness", unit: "kg", digits: 2, sd: 0.02, everyMs: 60_000, at: witness }),
  ];
}
