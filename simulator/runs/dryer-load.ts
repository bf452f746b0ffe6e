import { type Calendar, calendarOf, standsCel } from "../calendar.ts";
import { remembering } from "../emission.ts";
import type { FaultPlan } from "../faults.ts";
import { dewCel, humidityRatio, relativeHumidity, saturationHpa } from "../humid-air.ts";
import { calledAt } from "../launch.ts";
import { autoregressive } from "../ornstein-uhlenbeck.ts";
import { aluminiumParts, ambientPressureHpa, dryers, earliestRun, ironParts, type PlantKey } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { type Cycle, cycleOf, type Schedule, startedBy, startOf } from "../schedule.ts";
import { type Off, told } from "./measuring.ts";
import type { TrueFeature } from "./true-run.ts";

/** What the probes would read without noise, every 30 s of the cycle. */
export interface DryerTrace {
  readonly supplyRh: number[];
  readonly returnRh: number[];
  readonly supplyCel: number[];
  readonly returnCel: number[];
  /** Return minus supply humidity ratio that the probes see, g/kg. */
  readonly difference: number[];
  /** Water in the coats, kg, and supply air, kg of dry air a second, alike every 30 s. */
  readonly waterKg: number[];
  readonly airKgPerSecond: number[];
  /** Coats of the load, kg, and the water that they began with. */
  readonly dryCoatKg: number;
  readonly startKg: number;
  /** Water still in the coats at the end of the load, % of dry coat. */
  readonly residualPercent: number;
}

export interface DryerRuns {
  readonly schedule: Schedule;
  loadLastsMs(number: number): number;
  part(number: number): string;
  trace(number: number): DryerTrace;
  /** Water still in the coats at the end of a load, % of dry coat: asked of many loads of the past in turn. */
  residualPercent(number: number): number;
  features(number: number): Readonly<Record<string, TrueFeature>>;
}

export const dryerEveryMs = 30_000;
const stepSeconds = 10;
const setCel = 50;
/** The last half hour of a load. */
const lastSamples = 60;
const dryCoatKg = 95;
const airKg = 55;
const supplyKgPerSecond = 0.55;
const rate = 3.6e-4;
const probeLagSeconds = 25;

export function dryerSchedule(key: PlantKey, station: string): Schedule {
  const place = dryers.indexOf(station as (typeof dryers)[number]);
  return {
    station,
    seed: key.seed,
    calendar: calendarOf(key),
    originMs: key.firstMs + ([170, 40, 290][place] as number) * 60_000,
    periodMs: 410 * 60_000,
    jitterMs: 3 * 60_000,
  };
}

/** The dryer load that takes what hangs ready at a moment: the next to start. */
export function nextLoad(key: PlantKey, tMs: number): { readonly dryer: string; readonly number: number } {
  let best = { dryer: "", number: 0, startMs: Number.POSITIVE_INFINITY };
  for (const dryer of dryers) {
    const schedule = dryerSchedule(key, dryer);
    let number = startedBy(schedule, tMs);
    while (startOf(schedule, number) < tMs) number += 1;
    const startMs = startOf(schedule, number);
    if (startMs < best.startMs) best = { dryer, number, startMs };
  }
  return best;
}

/** Loads of one dryer: 60 wet clusters for six and a half hours, then twenty minutes to turn round. */
export function dryerRuns(key: PlantKey, station: string, faults: FaultPlan): DryerRuns {
  const schedule = dryerSchedule(key, station);
  const first = earliestRun(schedule.periodMs);
  const drift = autoregressive(randomAt(key.seed, station, 0, "rate"), 0.3, 0.03, first);
  const loadLastsMs = (number: number): number =>
    390 * 60_000 + dryerEveryMs * Math.round(2 * randomAt(key.seed, station, number, "release").normal());
  const parts = [...aluminiumParts.map((p) => p.id), ...ironParts];
  const part = (number: number): string =>
    calledAt(
      key,
      parts[((number % parts.length) + parts.length) % parts.length] as string,
      startOf(schedule, number),
      [30, 13],
    );

  const trace = remembering((number): DryerTrace => {
    const random = randomAt(key.seed, station, number, "load");
    const heavy = faults.size("heavy-coat", station, startOf(schedule, number));
    return integrate(station, cycleOf(schedule, number), loadLastsMs(number), schedule.calendar, faults, {
      dryCoatKg: dryCoatKg + 20 * heavy,
      waterKg: 38 * (1 + 0.05 * random.normal()) + 8 * heavy,
      rate: rate * (1 + drift(number)),
      airKgPerSecond: supplyKgPerSecond * (1 + 0.02 * random.normal()),
      phase: 2 * Math.PI * random.uniform(),
    });
  }, 12);
  const residualPercent = remembering((number) => trace(number).residualPercent, 512);
  const features = (number: number): Record<string, TrueFeature> => {
    const { difference, returnRh, returnCel, supplyRh, supplyCel, airKgPerSecond, ...load } = trace(number);
    const samples = Math.floor(loadLastsMs(number) / dryerEveryMs);
    const during = (values: readonly number[]): readonly number[] => values.slice(0, samples);
    const out = load.startKg - (load.waterKg[samples - 1] as number);
    const endpoint = endpointHours(during(difference), during(returnRh));
    const dew = during(supplyRh).map((percent, i) => dewCel(percent, supplyCel[i] as number));
    const gained = mean(difference.slice(samples - lastSamples, samples));
    const [from, to] = [load.waterKg[samples - lastSamples] as number, load.waterKg[samples - 1] as number];
    const lost = ((from - to) * 1000) / ((lastSamples - 1) * dryerEveryMs);
    const values = {
      "dry.dw_end": gained,
      "dry.unweighed": gained - (1000 * lost) / mean(airKgPerSecond.slice(samples - lastSamples, samples)),
      "dry.rh_peak": Math.max(...during(returnRh)),
      "dry.residual": load.residualPercent,
      "dry.water": out,
      "dry.water_ratio": out / load.startKg,
      ...(endpoint === null ? {} : { "dry.t_end": endpoint }),
      "dry.airflow": mean(during(airKgPerSecond)),
      "dry.dew": mean(dew),
      "dry.t_mean": mean(during(returnCel)),
    };
    return told(
      values,
      probeFaults(faults, station, startOf(schedule, number), startOf(schedule, number) + loadLastsMs(number)),
    );
  };
  return { schedule, loadLastsMs, part, trace, residualPercent, features };
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** What a splashed probe and a touching witness make of the features of a load. */
function probeFaults(faults: FaultPlan, station: string, fromMs: number, toMs: number): Off {
  const splashed = faults.size("probe-splash", station, toMs - 1);
  const touching = faults.size("witness-touches", station, toMs - 1);
  const off: Record<string, number> = {};
  if (splashed > 0) {
    off["dry.dw_end"] = gramsAPercent * 4 * splashed;
    off["dry.unweighed"] = gramsAPercent * 4 * splashed;
    off["dry.rh_peak"] = 4 * faults.size("probe-splash", station, fromMs + 3_600_000);
  }
  if (touching > 0) off["dry.residual"] = (-100 * 3 * touching) / dryCoatKg;
  return off;
}

/** One percent of relative humidity in the return air at 50 Cel, g/kg. */
const gramsAPercent = 0.77;

/** When the gain of the air, averaged over a quarter of an hour to each side, had stayed below 0.2 g/kg for 30 min. */
function endpointHours(difference: readonly number[], returnRh: readonly number[]): number | null {
  const side = (15 * 60_000) / dryerEveryMs;
  let since: number | null = null;
  for (let i = 0; i < difference.length; i += 1) {
    const gain = mean(difference.slice(Math.max(0, i - side), i + side + 1));
    const below = Math.abs(gain) < 0.2 && (returnRh[i] as number) < 20;
    since = below ? (since ?? i) : null;
    if (since !== null && (i - since) * dryerEveryMs >= 30 * 60_000) return (i * dryerEveryMs) / 3_600_000;
  }
  return null;
}

interface Load {
  readonly waterKg: number;
  readonly dryCoatKg: number;
  readonly rate: number;
  readonly airKgPerSecond: number;
  /** Where the dehumidifier stands in its cycle when the load starts. */
  readonly phase: number;
}

/** Water, air temperature and humidity ratio stepped through the load; the chamber idles warm and open afterwards. */
function integrate(
  station: string,
  cycle: Cycle,
  lastsMs: number,
  calendar: Calendar,
  faults: FaultPlan,
  load: Load,
): DryerTrace {
  const supplyRh: number[] = [];
  const returnRh: number[] = [];
  const supplyCel: number[] = [];
  const returnCel: number[] = [];
  const difference: number[] = [];
  const weakly = during(faults, "weak-air", station, cycle);
  const opened = during(faults, "door-open", station, cycle);
  const weakSize = faults.on("weak-air", station, cycle.startMs)?.size ?? 1;
  const waterKg: number[] = [];
  const airKgPerSecond: number[] = [];
  const exhausted = faults.on("desiccant-exhausted", station, cycle.startMs + 1.5 * 3_600_000) !== undefined;
  const set = setCel - 5 * faults.size("set-too-cold", station, cycle.startMs + 60_000);
  const lag = probeLagSeconds + 215 * faults.size("probe-slow", station, cycle.startMs + 60_000);
  const criticalKg = 0.35 * load.waterKg;
  let water = load.waterKg;
  let residual = water;
  let cel = standsCel(calendar, cycle.startMs, 42);
  let ratio = 7;
  let supply = standsCel(calendar, cycle.startMs, 45);
  let rh = relativeHumidity(ratio, cel, ambientPressureHpa);
  let seenReturn = rh;
  let seenSupply = relativeHumidity(5, supply, ambientPressureHpa);
  for (let t = 0; cycle.startMs + t < cycle.endMs; t += stepSeconds * 1000) {
    const spent = exhausted ? 6 * Math.min(1, Math.max(0, (t - 5_400_000) / 1_800_000)) : 0;
    const supplied = 5 + spent + 0.6 * Math.sin((2 * Math.PI * t) / 5_400_000 + load.phase);
    const weak = weakly(cycle.startMs + t) ? weakSize : 0;
    const blown = load.airKgPerSecond * Math.max(0.05, 1 - weak * (1 - 0.3 / supplyKgPerSecond));
    const air = t < lastsMs ? blown : 0;
    if (t % dryerEveryMs === 0) {
      supplyRh.push(seenSupply);
      returnRh.push(seenReturn);
      supplyCel.push(supply);
      returnCel.push(cel);
      const into = humidityRatio(seenSupply, supply, ambientPressureHpa);
      difference.push(humidityRatio(seenReturn, cel, ambientPressureHpa) - into);
      waterKg.push(water);
      airKgPerSecond.push(air);
    }
    if (t < lastsMs) {
      const deficitKpa = (saturationHpa(cel) * (1 - rh / 100)) / 10;
      const boundKg = 2e-4 * load.dryCoatKg * rh;
      const freely = Math.min(1, Math.max(0, (water - boundKg) / (criticalKg - boundKg)));
      const gone = load.rate * Math.max(0.1, 1 - 0.3 * weak) * deficitKpa * freely;
      water -= gone * stepSeconds;
      residual = water;
      ratio += ((1000 * gone - air * (ratio - supplied)) / airKg) * stepSeconds;
      cel += ((set - cel) / 900) * stepSeconds;
    } else {
      ratio += ((7 - ratio) / 300) * stepSeconds;
      cel += ((standsCel(calendar, cycle.startMs + t, 42) - cel) / 600) * stepSeconds;
    }
    if (opened(cycle.startMs + t)) {
      cel += ((22 - cel) / 240) * stepSeconds;
      ratio += ((12 - ratio) / 180) * stepSeconds;
    }
    const heated = t < lastsMs ? set : standsCel(calendar, cycle.startMs + t, set);
    supply += ((heated - supply) / 300) * stepSeconds;
    rh = relativeHumidity(ratio, cel, ambientPressureHpa);
    seenReturn += (rh - seenReturn) * Math.min(1, stepSeconds / lag);
    const rhIn = relativeHumidity(supplied, supply, ambientPressureHpa);
    seenSupply += (rhIn - seenSupply) * (stepSeconds / probeLagSeconds);
  }
  return {
    supplyRh,
    returnRh,
    supplyCel,
    returnCel,
    difference,
    waterKg,
    airKgPerSecond,
    dryCoatKg: load.dryCoatKg,
    startKg: load.waterKg,
    residualPercent: (100 * residual) / load.dryCoatKg,
  };
}

/** Whether such a fault is on, asked of those alone that touch the cycle. */
function during(faults: FaultPlan, name: string, station: string, cycle: Cycle): (tMs: number) => boolean {
  const touching = faults.all(name, station).filter((f) => f.fromMs < cycle.endMs && f.toMs > cycle.startMs);
  if (touching.length === 0) return () => false;
  return (tMs) => touching.some((f) => f.fromMs <= tMs && tMs < f.toMs);
}
