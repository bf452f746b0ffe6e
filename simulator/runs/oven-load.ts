import { autoregressive, ornsteinUhlenbeck } from "../ornstein-uhlenbeck.ts";
import { earliestRun, type PlantKey } from "../plant-layout.ts";
import { type Random, randomAt } from "../random.ts";
import { type RecordedRun, recordedRun } from "../recorded-run.ts";
import { type Schedule, startOf } from "../schedule.ts";
import type { TrueFeature } from "./true-run.ts";

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
  features(number: number): Readonly<Record<string, TrueFeature>>;
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
    // The ramp takes the first seven minutes or so; the soak is what follows.
    const { highest, spread } = wandering(random, positions, Math.floor(loadLastsMs(number) / 60_000) - 7);
    return recordedRun(station, startMs, loadLastsMs(number), null, [
      { feature: "oven.mean", unit: "Cel", value: mean + meanSd * random.normal() },
      { feature: "oven.max", unit: "Cel", value: mean + highest },
      { feature: "oven.spread", unit: "K", value: spread },
    ]);
  };
  const features = (number: number): Record<string, TrueFeature> => {
    const mean = ovenSetCel + offset(number);
    const residual = (i: 0 | 1 | 2): TrueFeature => ({
      value: 1.5 * positions[i],
      unit: "K",
      sd: 0.03,
    });
    return {
      "oven.mean": { value: mean, unit: "Cel", sd: meanSd },
      "oven.residual.1": residual(0),
      "oven.residual.2": residual(1),
      "oven.residual.3": residual(2),
    };
  };
  return { schedule, positions, offset, loadLastsMs, recorded, features };
}

/** Three positions around a mean of zero, none further than 0.8 K from it, so that all can reach the soak. */
function positionsOf(random: Random): [number, number, number] {
  const raw = [random.normal(), random.normal(), random.normal()] as const;
  const mean = (raw[0] + raw[1] + raw[2]) / 3;
  const widest = Math.max(...raw.map((r) => Math.abs(r - mean)));
  const scale = Math.min(0.5, 0.8 / widest);
  return [(raw[0] - mean) * scale, (raw[1] - mean) * scale, (raw[2] - mean) * scale];
}

// Our own simulation, held by history-agrees.test.ts.
const meanSd = 0.02;
/** A minute's middle reading wanders and swings a little less than single readings do. */
const minuteWanderK = 0.237;
const minuteSwingK = 0.46;

interface Wandering {
  readonly highest: number;
  readonly spread: number;
}

/** What three positions do around the load's mean, minute by minute: their highest, and their widest ten minutes. */
function wandering(random: Random, positions: readonly number[], minutes: number): Wandering {
  const walks = positions.map(() => ornsteinUhlenbeck(random, minuteWanderK, 180, 60));
  const phase = 2 * Math.PI * random.uniform();
  let highest = Number.NEGATIVE_INFINITY;
  let spread = 0;
  let sums = positions.map(() => 0);
  for (let minute = 0; minute < minutes; minute += 1) {
    const swing = minuteSwingK * Math.sin((2 * Math.PI * minute * 60) / swingSeconds + phase);
    const now = positions.map((position, i) => position + (walks[i] as () => number)());
    highest = Math.max(highest, ...now.map((k) => k + swing));
    sums = sums.map((sum, i) => sum + (now[i] as number));
    if (minute % 10 === 9) {
      spread = Math.max(spread, (Math.max(...sums) - Math.min(...sums)) / 10);
      sums = positions.map(() => 0);
    }
  }
  return { highest, spread };
}
