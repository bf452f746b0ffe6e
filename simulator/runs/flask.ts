import { calendarOf } from "../calendar.ts";
import type { FaultPlan } from "../faults.ts";
import { madeOf } from "../launch.ts";
import { clusterOfFlask } from "../lineage.ts";
import { autoregressive } from "../ornstein-uhlenbeck.ts";
import { earliestRun, type PlantKey } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { type Schedule, startOf } from "../schedule.ts";
import { type Off, told } from "./measuring.ts";
import type { Services } from "./services.ts";
import type { TrueFeature } from "./true-run.ts";

/** What is particular about the compaction of one flask. */
export interface Flask {
  readonly amplitudeG: number;
  readonly frequencyHz: number;
  /** Standard deviation of the rattle, g. */
  readonly rattleG: number;
  readonly phase: number;
  readonly flask: string;
  readonly part: string;
  readonly aluminium: boolean;
  readonly ordinal: number;
  readonly cluster: number;
  readonly fillKg: number;
  readonly sandCel: number;
}

export interface FlaskRuns {
  readonly schedule: Schedule;
  flask(number: number): Flask;
  features(number: number): Readonly<Record<string, TrueFeature>>;
}

/** Stages of the table: bed, fill with the cluster in place, final. Length and share of the full amplitude. */
export const tableStages = [
  { stage: 1, seconds: 10, share: 0.65 },
  { stage: 2, seconds: 25, share: 0.8 },
  { stage: 3, seconds: 25, share: 1 },
] as const;
export const tableSeconds = 60;

const fullAmplitudeG = 1.5;
const driveHz = 40;
const rattleG = 0.05;

/** Flasks of one table; the two tables of a line take turns, so flask numbers run through both. */
export function flaskRuns(key: PlantKey, station: string, around: Services, faults: FaultPlan): FlaskRuns {
  const aluminium = station.startsWith("CT-A");
  const second = station.endsWith("2");
  const periodMs = (aluminium ? 1152 : 1920) * 1000;
  const schedule: Schedule = {
    station,
    seed: key.seed,
    calendar: calendarOf(key),
    originMs: key.firstMs + 60_000 + (second ? periodMs / 2 : 0) + (aluminium ? 0 : 150_000),
    periodMs,
    jitterMs: 90_000,
  };
  const first = earliestRun(periodMs);
  const force = autoregressive(randomAt(key.seed, station, 0, "force"), 0.3, 0.015, first);
  const rattle = autoregressive(randomAt(key.seed, station, 0, "rattle"), 0.2, 0.008, first);

  const flask = (number: number): Flask => {
    const random = randomAt(key.seed, station, number, "flask");
    const ordinal = 2 * number + (second ? 1 : 0);
    const startMs = startOf(schedule, number);
    const slow = 2 * faults.size("drive-slow", station, startMs);
    const own = randomAt(key.seed, station, number, "fill");
    return {
      aluminium,
      ordinal,
      cluster: clusterOfFlask({ aluminium, ordinal }),
      fillKg: 460 + 6 * own.normal() - 30 * faults.size("short-fill", station, startMs),
      sandCel: around.sandCel(startMs),
      // The push of a turning weight goes with the square of its speed.
      amplitudeG: fullAmplitudeG * (1 + force(number)) * ((driveHz - slow) / driveHz) ** 2,
      frequencyHz: driveHz - slow + 0.15 * random.normal(),
      rattleG: rattleG * (1 + rattle(number)),
      phase: 2 * Math.PI * random.uniform(),
      flask: flaskName(aluminium, ordinal),
      part: madeOf(key, clusterOfFlask({ aluminium, ordinal })).id,
    };
  };
  const features = (number: number): Record<string, TrueFeature> => {
    const startMs = startOf(schedule, number);
    const { amplitudeG, frequencyHz, rattleG, sandCel, fillKg } = flask(number);
    const out = faults.on("motor-out", station, startMs) !== undefined;
    const push = out ? 0.507 : faults.on("lost-sync", station, startMs) !== undefined ? lostSyncPush : 1;
    const rms = Math.hypot(sandShare * amplitudeG * push * Math.SQRT1_2, rattleG);
    const clamp = faults.size("loose-clamp", station, startMs);
    const worn = faults.size("bearing", station, startMs);
    const phase = 1 + 0.4 * faults.size("phase-lost", station, startMs);
    const random = randomAt(key.seed, station, number, "currents");
    // Of each motor the middle of many readings is taken, told to a hundredth: a step or none apart.
    const currentOff = () => 0.01 * Math.round(0.45 * random.normal());
    const [one, two] = [fullLoadA * phase + currentOff(), out ? 0 : fullLoadA + currentOff()];
    const unevenly = push === lostSyncPush ? lostSyncCrest : 0;
    const scatter = randomAt(key.seed, station, number, "knocks").normal();
    const table = shaken(rattleG, { rms, clamp, worn, loose: 0 });
    const values = {
      "vib.rms": table.rms,
      "vib.crest": crestMean + knocked(clamp, scatter) + rung(worn) + unevenly,
      "vib.hf": table.hf,
      "vib.f1": frequencyHz,
      "vib.t_on": tableSeconds - tableStages[0].seconds - 1 + (random.uniform() < firstSecondCounts ? 1 : 0),
      "vib.motors": (100 * Math.abs(one - two)) / (one + two),
      "vib.wall": wallShare,
      // A clamp's knock reaches the wall by four fifths; a bearing's ringing as it is.
      "vib.alone": table.hf - wallTimes * shaken(rattleG, { rms, clamp: 0.8 * clamp, worn, loose: 0 }).hf,
      "vib.clamp": 6 - 2.2 * Math.min(1, clamp),
      "sand.T_fill": sandCel,
      "sand.mass": fillKg,
    };
    // A sensor that is loose hammers by itself: the table does not.
    const loose = faults.size("loose-sensor", station, startMs);
    const seen = shaken(rattleG, { rms, clamp, worn, loose });
    const off: Off =
      loose === 0
        ? {}
        : {
            "vib.rms": seen.rms - table.rms,
            "vib.crest": knocked(loose, scatter),
            "vib.alone": seen.hf - table.hf,
            "vib.hf": seen.hf - table.hf,
            "vib.wall": wallShare * (table.rms / seen.rms - 1),
          };
    return told(values, off);
  };
  return { schedule, flask, features };
}

/** Of so many flasks the second in which the table starts is counted as shaken. */
const firstSecondCounts = 0.04;
/** Current of a motor under a full flask, A. */
const fullLoadA = 6.2 + (0.05 * 460) / 100;
/** What of the table's acceleration reaches the flask's wall. */
export const wallShare = 0.96;
/** Out of step, the motors push so much on average, and so much more at the top. */
const lostSyncPush = 0.7;
const lostSyncCrest = 0.6;

/** The name a flask goes by from the table to the pour. */
export function flaskName(aluminium: boolean, ordinal: number): string {
  return `${aluminium ? "FA" : "FF"}-${500_000 + ordinal}`;
}

// Our own simulation, held by run-model-agrees.test.ts: what waveforms of healthy flasks come to.
const sandShare = 0.9125;
const crestMean = 1.6575;
/** How often the wall's rattling is taken off the table's. */
const wallTimes = 1.6;
const bandShare = 0.887;

/** Squares of what shakes by itself add up: of the whole, and of the high band. */
function shaken(
  rattleG: number,
  { rms, clamp, worn, loose }: Readonly<Record<"rms" | "clamp" | "worn" | "loose", number>>,
): { readonly rms: number; readonly hf: number } {
  return {
    rms: Math.hypot(rms, 0.41 * clamp, 0.41 * loose, 0.52 * worn),
    hf: Math.hypot(rattleG * bandShare, 0.36 * clamp, 0.36 * loose, 0.52 * worn),
  };
}

/**
 * What blows of that size add to the crest. Small ones add nearly nothing: they come at any place of the turn, and only
 * some fall on a peak; so flasks differ, too.
 */
function knocked(size: number, scatter: number): number {
  if (size === 0) return 0;
  const mean = softly(2.4 * size - 0.125, 0.035);
  return mean + Math.min(mean, 0.015 + 0.3 * mean, 0.14) * scatter;
}

function rung(worn: number): number {
  return worn === 0 ? 0 : softly(1.1 * worn - 0.042, 0.015);
}

/** The value where it is well above 0, nothing where it is well below, and smooth between. */
function softly(value: number, width: number): number {
  return value > 20 * width ? value : width * Math.log1p(Math.exp(value / width));
}
