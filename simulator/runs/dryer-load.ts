import type { FaultPlan } from "../faults.ts";
import { humidityRatio, relativeHumidity, saturationHpa } from "../humid-air.ts";
import { autoregressive } from "../ornstein-uhlenbeck.ts";
import { aluminiumParts, ambientPressureHpa, dryers, earliestRun, ironParts, type PlantKey } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { type RecordedRun, recordedRun } from "../recorded-run.ts";
import { type Cycle, cycleOf, type Schedule, startOf } from "../schedule.ts";

/** What the probes would read without noise, every 30 s of the cycle. */
export interface DryerTrace {
  readonly supplyRh: number[];
  readonly returnRh: number[];
  readonly supplyCel: number[];
  readonly returnCel: number[];
  /** Return minus supply humidity ratio that the probes see, g/kg. */
  readonly difference: number[];
  /** Water still in the coats at the end of the load, % of dry coat. */
  readonly residualPercent: number;
}

export interface DryerRuns {
  readonly schedule: Schedule;
  loadLastsMs(number: number): number;
  part(number: number): string;
  trace(number: number): DryerTrace;
  recorded(number: number): RecordedRun;
}

export const dryerEveryMs = 30_000;
const stepSeconds = 10;
const setCel = 50;
const dryCoatKg = 95;
const airKg = 55;
const supplyKgPerSecond = 0.55;
const rate = 3.6e-4;
const probeLagSeconds = 25;

/** Loads of one dryer: 60 wet clusters for six and a half hours, then twenty minutes to turn round. */
export function dryerRuns(key: PlantKey, station: string, faults: FaultPlan): DryerRuns {
  const place = dryers.indexOf(station as (typeof dryers)[number]);
  const schedule: Schedule = {
    station,
    seed: key.seed,
    originMs: key.firstMs + ([170, 40, 290][place] as number) * 60_000,
    periodMs: 410 * 60_000,
    jitterMs: 3 * 60_000,
  };
  const first = earliestRun(schedule.periodMs);
  const drift = autoregressive(randomAt(key.seed, station, 0, "rate"), 0.3, 0.03, first);
  const loadLastsMs = (number: number): number =>
    390 * 60_000 + dryerEveryMs * Math.round(2 * randomAt(key.seed, station, number, "release").normal());
  const parts = [...aluminiumParts.map((p) => p.id), ...ironParts];
  const part = (number: number): string => parts[((number % parts.length) + parts.length) % parts.length] as string;

  const trace = (number: number): DryerTrace => {
    const random = randomAt(key.seed, station, number, "load");
    return integrate(station, cycleOf(schedule, number), loadLastsMs(number), faults, {
      waterKg: 38 * (1 + 0.05 * random.normal()),
      rate: rate * (1 + drift(number)),
      airKgPerSecond: supplyKgPerSecond * (1 + 0.02 * random.normal()),
      phase: 2 * Math.PI * random.uniform(),
    });
  };
  const recorded = (number: number): RecordedRun => {
    const startMs = startOf(schedule, number);
    const endMs = startMs + loadLastsMs(number);
    const { difference, returnRh } = trace(number);
    const samples = Math.floor((endMs - startMs) / dryerEveryMs);
    const last = difference.slice(samples - 60, samples);
    const mean = last.reduce((sum, d) => sum + d, 0) / last.length;
    const peak = Math.max(...returnRh.slice(0, samples));
    const random = randomAt(key.seed, station, number, "recorded");
    return recordedRun(station, startMs, endMs - startMs, part(number), [
      { feature: "dry.dw_end", unit: "g/kg", value: mean + endOffset + endSd * random.normal() },
      { feature: "dry.rh_peak", unit: "%", value: peak + peakOffset + peakSd * random.normal() },
    ]);
  };
  return { schedule, loadLastsMs, part, trace, recorded };
}

// Our own simulation, held by history-agrees.test.ts: what the probes' noise adds to what the extractors report.
const endOffset = 0;
const endSd = 0.042;
const peakOffset = 0.207;
const peakSd = 0.1;

interface Load {
  readonly waterKg: number;
  readonly rate: number;
  readonly airKgPerSecond: number;
  /** Where the dehumidifier stands in its cycle when the load starts. */
  readonly phase: number;
}

/** Water, air temperature and humidity ratio stepped through the load; the chamber idles warm and open afterwards. */
function integrate(station: string, cycle: Cycle, lastsMs: number, faults: FaultPlan, load: Load): DryerTrace {
  const supplyRh: number[] = [];
  const returnRh: number[] = [];
  const supplyCel: number[] = [];
  const returnCel: number[] = [];
  const difference: number[] = [];
  const weakly = during(faults, "weak-air", station, cycle);
  const opened = during(faults, "door-open", station, cycle);
  const criticalKg = 0.35 * load.waterKg;
  let water = load.waterKg;
  let residual = water;
  let cel = 42;
  let ratio = 7;
  let supply = 45;
  let rh = relativeHumidity(ratio, cel, ambientPressureHpa);
  let seenReturn = rh;
  let seenSupply = relativeHumidity(5, supply, ambientPressureHpa);
  for (let t = 0; cycle.startMs + t < cycle.endMs; t += stepSeconds * 1000) {
    const supplied = 5 + 0.6 * Math.sin((2 * Math.PI * t) / 5_400_000 + load.phase);
    if (t % dryerEveryMs === 0) {
      supplyRh.push(seenSupply);
      returnRh.push(seenReturn);
      supplyCel.push(supply);
      returnCel.push(cel);
      const into = humidityRatio(seenSupply, supply, ambientPressureHpa);
      difference.push(humidityRatio(seenReturn, cel, ambientPressureHpa) - into);
    }
    if (t < lastsMs) {
      const weak = weakly(cycle.startMs + t);
      const air = weak ? load.airKgPerSecond * (0.3 / supplyKgPerSecond) : load.airKgPerSecond;
      const deficitKpa = (saturationHpa(cel) * (1 - rh / 100)) / 10;
      const boundKg = 2e-4 * dryCoatKg * rh;
      const freely = Math.min(1, Math.max(0, (water - boundKg) / (criticalKg - boundKg)));
      const gone = load.rate * (weak ? 0.7 : 1) * deficitKpa * freely;
      water -= gone * stepSeconds;
      residual = water;
      ratio += ((1000 * gone - air * (ratio - supplied)) / airKg) * stepSeconds;
      cel += ((setCel - cel) / 900) * stepSeconds;
    } else {
      ratio += ((7 - ratio) / 300) * stepSeconds;
      cel += ((42 - cel) / 600) * stepSeconds;
    }
    if (opened(cycle.startMs + t)) {
      cel += ((22 - cel) / 240) * stepSeconds;
      ratio += ((12 - ratio) / 180) * stepSeconds;
    }
    supply += ((setCel - supply) / 300) * stepSeconds;
    rh = relativeHumidity(ratio, cel, ambientPressureHpa);
    seenReturn += (rh - seenReturn) * (stepSeconds / probeLagSeconds);
    const rhIn = relativeHumidity(supplied, supply, ambientPressureHpa);
    seenSupply += (rhIn - seenSupply) * (stepSeconds / probeLagSeconds);
  }
  return { supplyRh, returnRh, supplyCel, returnCel, difference, residualPercent: (100 * residual) / dryCoatKg };
}

/** Whether such a fault is on, asked of those alone that touch the cycle. */
function during(faults: FaultPlan, name: string, station: string, cycle: Cycle): (tMs: number) => boolean {
  const touching = faults.all(name, station).filter((f) => f.fromMs < cycle.endMs && f.toMs > cycle.startMs);
  if (touching.length === 0) return () => false;
  return (tMs) => touching.some((f) => f.fromMs <= tMs && tMs < f.toMs);
}
