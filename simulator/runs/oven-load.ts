import { autoregressive } from "../ornstein-uhlenbeck.ts";
import { earliestRun, type PlantKey } from "../plant-layout.ts";
import { type Random, randomAt } from "../random.ts";
import type { RecordedRun } from "../recorded-run.ts";
import { type Schedule, startOf } from "../schedule.ts";

export const ovenSetCel = 55;
/** Amplitude and period of the control's own swing. */
export const swingCel = 0.5;
export const swingSeconds = 260;

export interface OvenRuns {
  readonly schedule: Schedule;
  /** How far each of the three positions stands from the mean: fixed for the oven. */
  readonly positions: readonly [number, number, number];
  /** How far this load's mean stands from the set point. */
  offset(number: number): number;
  loadLastsMs(number: number): number;
  recorded(number: number): RecordedRun;
}

/** Loads of the ageing oven: four a day. */
export function ovenRuns(key: PlantKey, station: string): OvenRuns {
  const schedule: Schedule = {
    station,
    seed: key.seed,
    originMs: key.firstMs + 30 * 60_000,
    periodMs: 6 * 3_600_000,
    jitterMs: 4 * 60_000,
  };
  const offset = autoregressive(randomAt(key.seed, station, 0, "load-mean"), 0.4, 0.6, earliestRun(schedule.periodMs));
  const positions = positionsOf(randomAt(key.seed, station, 0, "positions"));
  const loadLastsMs = (number: number): number =>
    335 * 60_000 + Math.round(90_000 * (2 * randomAt(key.seed, station, number, "release").uniform() - 1));
  const recorded = (number: number): RecordedRun => {
    const startMs = startOf(schedule, number);
    const random = randomAt(key.seed, station, number, "recorded");
    const mean = ovenSetCel + offset(number);
    const hottest = Math.max(...positions.map((p) => mean + p + swingCel + extreme(random)));
    const spread = Math.max(...positions) - Math.min(...positions);
    return {
      station,
      startMs,
      endMs: startMs + loadLastsMs(number),
      part: null,
      features: [
        { feature: "oven.mean", unit: "Cel", value: mean + meanOffset + meanSd * random.normal() },
        { feature: "oven.max", unit: "Cel", value: hottest },
        { feature: "oven.spread", unit: "K", value: spread + spreadOffset + spreadSd * random.normal() },
      ],
    };
  };
  return { schedule, positions, offset, loadLastsMs, recorded };
}

/** Three positions around a mean of zero, none further than 0.8 K from it, so that all can reach the soak. */
function positionsOf(random: Random): [number, number, number] {
  const raw = [random.normal(), random.normal(), random.normal()] as const;
  const mean = (raw[0] + raw[1] + raw[2]) / 3;
  const widest = Math.max(...raw.map((r) => Math.abs(r - mean)));
  const scale = Math.min(0.5, 0.8 / widest);
  return [(raw[0] - mean) * scale, (raw[1] - mean) * scale, (raw[2] - mean) * scale];
}

// Our own simulation, held by history-agrees.test.ts: what the product's extractors make of traces of healthy loads.
const meanOffset = 0;
const meanSd = 0.02;
const spreadOffset = 0;
const spreadSd = 0.05;
const extremeLocation = 0.7;
const extremeScale = 0.1;

/** Highest of the wandering over a soak at one position: Gumbel, as the highest of many is. */
function extreme(random: Random): number {
  return extremeLocation - extremeScale * Math.log(-Math.log(1 - random.uniform()));
}
