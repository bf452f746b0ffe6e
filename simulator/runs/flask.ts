import { autoregressive } from "../ornstein-uhlenbeck.ts";
import { aluminiumParts, earliestRun, ironParts, type PlantKey, partOfFlask } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { type RecordedRun, recordedRun } from "../recorded-run.ts";
import { type Schedule, startOf } from "../schedule.ts";

/** What is particular about the compaction of one flask. */
export interface Flask {
  readonly amplitudeG: number;
  readonly frequencyHz: number;
  /** Standard deviation of the rattle, g. */
  readonly rattleG: number;
  readonly phase: number;
  readonly flask: string;
  readonly part: string;
}

export interface FlaskRuns {
  readonly schedule: Schedule;
  flask(number: number): Flask;
  recorded(number: number): RecordedRun;
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
export function flaskRuns(key: PlantKey, station: string): FlaskRuns {
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
    return {
      amplitudeG: fullAmplitudeG * (1 + force(number)),
      frequencyHz: driveHz + 0.15 * random.normal(),
      rattleG: rattleG * (1 + rattle(number)),
      phase: 2 * Math.PI * random.uniform(),
      flask: flaskName(aluminium, ordinal),
      part: partOfFlask(parts, ordinal),
    };
  };
  const recorded = (number: number): RecordedRun => {
    const startMs = startOf(schedule, number);
    const { amplitudeG, rattleG, part } = flask(number);
    const random = randomAt(key.seed, station, number, "recorded");
    const shaken = sandShare * amplitudeG * Math.SQRT1_2;
    const rms = Math.hypot(shaken, rattleG) + rmsSd * random.normal();
    return recordedRun(station, startMs, tableSeconds * 1000, part, [
      { feature: "vib.rms", unit: "[g]", value: rms },
      { feature: "vib.crest", unit: "1", value: crestMean + crestSd * random.normal() },
      { feature: "vib.hf", unit: "[g]", value: rattleG * bandShare + bandSd * random.normal() },
    ]);
  };
  return { schedule, flask, recorded };
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
