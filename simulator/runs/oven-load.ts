import { calendarOf, standsCel } from "../calendar.ts";
import type { FaultPlan } from "../faults.ts";
import { autoregressive, ornsteinUhlenbeck } from "../ornstein-uhlenbeck.ts";
import { earliestRun, type PlantKey } from "../plant-layout.ts";
import { type Random, randomAt } from "../random.ts";
import { type Schedule, startOf } from "../schedule.ts";
import { told } from "./measuring.ts";
import { stoppedFan, upsets } from "./oven-upsets.ts";
import type { TrueFeature } from "./true-run.ts";

export const ovenSetCel = 55;
export const coldCel = 42;
export const rampPerSecond = 2 / 60;
export const afterLoadInMs = 60_000;
/** Patterns soak once every position is so near the set point, K. */
const soakWithinK = 2;
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
  /** How warm the chamber is as a load goes in. */
  startsCel(number: number): number;
  features(number: number): Readonly<Record<string, TrueFeature>>;
}

/** Loads of the ageing oven: four a day. */
export function ovenRuns(key: PlantKey, station: string, faults: FaultPlan): OvenRuns {
  const schedule: Schedule = {
    station,
    seed: key.seed,
    calendar: calendarOf(key),
    originMs: key.firstMs + 30 * 60_000,
    periodMs: 6 * 3_600_000,
    jitterMs: 4 * 60_000,
  };
  const offset = autoregressive(randomAt(key.seed, station, 0, "load-mean"), 0.4, 0.6, earliestRun(schedule.periodMs));
  const positions = positionsOf(randomAt(key.seed, station, 0, "positions"));
  const loadLastsMs = (number: number): number =>
    335 * 60_000 + Math.round(90_000 * (2 * randomAt(key.seed, station, number, "release").uniform() - 1));
  const startsCel = (number: number): number => standsCel(schedule.calendar, startOf(schedule, number), coldCel);
  const features = (number: number): Record<string, TrueFeature> => {
    const startMs = startOf(schedule, number);
    const endMs = startMs + loadLastsMs(number);
    const own = offset(number);
    const toSoakK = ovenSetCel - soakWithinK - startsCel(number) - own - Math.min(...positions);
    const soakFromMs = startMs + afterLoadInMs + (1000 * toSoakK) / rampPerSecond;
    const upset = upsets(station, faults, { startMs, endMs });
    const stopped = stoppedFan(station, faults);
    const random = randomAt(key.seed, station, number, "recorded");
    const soak = soaked(random, positions, own, Math.floor((endMs - soakFromMs) / 60_000), (minute) => {
      const tMs = soakFromMs + minute * 60_000;
      const k = ovenSetCel + own;
      return { offK: upset(tMs, k) - k, apartK: 3 * stopped(tMs) };
    });
    const doors = faults.all("door-open", station);
    const open = doors.map((f) => Math.max(0, Math.min(f.toMs, endMs) - Math.max(f.fromMs, startMs)) / 60_000);
    const drifted = 0.15 * faults.grown("thermocouple-drift", station, endMs);
    const values = {
      "oven.mean": ovenSetCel + own + soak.offK,
      "oven.max": ovenSetCel + own + soak.highest,
      "oven.spread": soak.spread,
      "oven.residual.1": 1.5 * (positions[0] - soak.apartK),
      "oven.residual.2": 1.5 * positions[1],
      "oven.residual.3": 1.5 * (positions[2] + soak.apartK),
      "oven.soak_time": soak.nearMinutes / 60,
      "oven.door": doorMinutes + open.reduce((sum, minutes) => sum + minutes, 0),
      "oven.fan": fanAmperes * (1 - soak.apartK / 3),
    };
    const off = { "oven.residual.1": -drifted / 2, "oven.residual.2": drifted, "oven.residual.3": -drifted / 2 };
    return told(values, drifted === 0 ? {} : off);
  };
  return { schedule, positions, offset, loadLastsMs, startsCel, features };
}

/** Three positions around a mean of zero, none further than 0.8 K from it, so that all can reach the soak. */
function positionsOf(random: Random): [number, number, number] {
  const raw = [random.normal(), random.normal(), random.normal()] as const;
  const mean = (raw[0] + raw[1] + raw[2]) / 3;
  const widest = Math.max(...raw.map((r) => Math.abs(r - mean)));
  const scale = Math.min(0.5, 0.8 / widest);
  return [(raw[0] - mean) * scale, (raw[1] - mean) * scale, (raw[2] - mean) * scale];
}

/** The door stands open for the first minute of a load, while it is put in. */
const doorMinutes = 1;
const fanAmperes = 4.2;
/** A minute's middle reading wanders and swings a little less than single readings do. */
const minuteWanderK = 0.237;
const minuteSwingK = 0.46;

interface Soak {
  readonly highest: number;
  readonly spread: number;
  /** What upsets take from the mean, and how far they draw neighbouring positions apart, on average. */
  readonly offK: number;
  readonly apartK: number;
  /** Minutes in which the mean was near the set point. */
  readonly nearMinutes: number;
}

/** What three positions do around the load's mean, minute by minute: their highest, and their widest ten minutes. */
function soaked(
  random: Random,
  positions: readonly number[],
  own: number,
  minutes: number,
  upset: (minute: number) => { readonly offK: number; readonly apartK: number },
): Soak {
  const walks = positions.map(() => ornsteinUhlenbeck(random, minuteWanderK, 180, 60));
  const phase = 2 * Math.PI * random.uniform();
  let highest = Number.NEGATIVE_INFINITY;
  let spread = 0;
  let [off, apart, near] = [0, 0, 0];
  let sums = positions.map(() => 0);
  for (let minute = 0; minute < minutes; minute += 1) {
    const { offK, apartK } = upset(minute);
    const swing = minuteSwingK * Math.sin((2 * Math.PI * minute * 60) / swingSeconds + phase);
    const now = positions.map((position, i) => position + (i - 1) * apartK + (walks[i] as () => number)());
    highest = Math.max(highest, ...now.map((k) => k + swing + offK));
    sums = sums.map((sum, i) => sum + (now[i] as number));
    off += offK / minutes;
    apart += apartK / minutes;
    if (Math.abs(own + offK) <= soakWithinK) near += 1;
    if (minute % 10 === 9) {
      spread = Math.max(spread, (Math.max(...sums) - Math.min(...sums)) / 10);
      sums = positions.map(() => 0);
    }
  }
  return { highest, spread, offK: off, apartK: apart, nearMinutes: near };
}
