import type { FaultPlan } from "../faults.ts";
import { clusterOfFlask } from "../lineage.ts";
import { autoregressive } from "../ornstein-uhlenbeck.ts";
import { aluminiumParts, earliestRun, ironParts, type PlantKey, partOfFlask } from "../plant-layout.ts";
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
    originMs: key.firstMs + 60_000 + (second ? periodMs / 2 : 0) + (aluminium ? 0 : 150_000),
    periodMs,
    jitterMs: 90_000,
  };
  const first = earliestRun(periodMs);
  const force = autoregressive(randomAt(key.seed, station, 0, "force"), 0.3, 0.015, first);
  const rattle = autoregressive(randomAt(key.seed, station, 0, "rattle"), 0.2, 0.008, first);
  const parts = aluminium ? aluminiumParts.map((p) => p.id) : ironParts;

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
      part: partOfFlask(parts, ordinal),
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
    const crest = crestMean + 2.4 * clamp + 1.1 * worn + unevenly;
    const values = {
      "vib.rms": rms * (1 + 0.082 * clamp + 0.14 * worn),
      "vib.crest": crest,
      "vib.hf": Math.hypot(rattleG * bandShare, 0.29 * clamp, 0.52 * worn),
      "vib.f1": frequencyHz,
      "vib.t_on": tableSeconds - tableStages[0].seconds - 1 + (random.uniform() < firstSecondCounts ? 1 : 0),
      "vib.motors": (100 * Math.abs(one - two)) / (one + two),
      "vib.wall": wallShare,
      // A clamp's knock reaches the wall by five sixths; all else of the table alike.
      "vib.alone": crest - wallTimes * (wallCrestMean + crest - crestMean - 0.4 * clamp),
      "vib.clamp": 6 - 2.2 * Math.min(1, clamp),
      "sand.T_fill": sandCel,
      "sand.mass": fillKg,
    };
    // A sensor that is loose hammers by itself: the table does not.
    const loose = faults.size("loose-sensor", station, startMs);
    const seen = (feature: "vib.rms" | "vib.crest" | "vib.hf", withIt: number): number => withIt - values[feature];
    const off: Off =
      loose === 0
        ? {}
        : {
            "vib.rms": 0.082 * loose * rms,
            "vib.crest": 2.4 * loose,
            "vib.alone": 2.4 * loose,
            "vib.hf": seen("vib.hf", Math.hypot(values["vib.hf"], 0.29 * loose)),
            "vib.wall": wallShare / (1 + 0.082 * loose) - wallShare,
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
const wallCrestMean = 1.66;
/** How often the wall's knocking is taken off the table's. */
const wallTimes = 1.3;
const bandShare = 0.887;
