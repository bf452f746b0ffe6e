import type { FaultPlan } from "../faults.ts";
import { clusterOfFlask } from "../lineage.ts";
import { autoregressive } from "../ornstein-uhlenbeck.ts";
import { aluminiumParts, earliestRun, ironParts, type PlantKey, partOfFlask } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { type Schedule, startOf } from "../schedule.ts";
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
    const push = faults.on("motor-out", station, startMs) === undefined ? 1 : 0.507;
    const rms = Math.hypot(sandShare * amplitudeG * push * Math.SQRT1_2, rattleG);
    const hammered = Math.max(
      faults.size("loose-clamp", station, startMs),
      faults.size("loose-sensor", station, startMs),
    );
    const worn = faults.size("bearing", station, startMs);
    return {
      "vib.rms": { value: rms * (1 + 0.082 * hammered + 0.14 * worn), unit: "[g]", sd: rmsSd },
      "vib.crest": { value: crestMean + 2.4 * hammered + 1.1 * worn, unit: "1", sd: crestSd },
      "vib.hf": { value: Math.hypot(rattleG * bandShare, 0.29 * hammered, 0.52 * worn), unit: "[g]", sd: bandSd },
      "vib.f1": { value: frequencyHz, unit: "Hz", sd: 0.01 },
      "sand.T_fill": { value: sandCel, unit: "Cel", sd: 0.05 },
      "sand.mass": { value: fillKg, unit: "kg", sd: 0.3 },
    };
  };
  return { schedule, flask, features };
}

/** The name a flask goes by from the table to the pour. */
export function flaskName(aluminium: boolean, ordinal: number): string {
  return `${aluminium ? "FA" : "FF"}-${500_000 + ordinal}`;
}

// Our own simulation, held by history-agrees.test.ts: what the product's extractors make of waveforms of healthy flasks.
const sandShare = 0.9125;
const rmsSd = 0.0005;
const crestMean = 1.6575;
const crestSd = 0.0098;
const bandShare = 0.886;
const bandSd = 0.00024;
