import { autoregressive } from "../ornstein-uhlenbeck.ts";
import { type AluminiumPart, aluminiumParts, earliestRun, type PlantKey, partOfFlask } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { type RecordedRun, recordedRun } from "../recorded-run.ts";
import { type Schedule, startOf } from "../schedule.ts";
import { flaskName } from "./flask.ts";

/** What is particular about one pour. */
export interface Pour {
  readonly part: AluminiumPart;
  readonly flask: string;
  readonly ladle: string;
  /** First metal as it meets the stream's pyrometer, Cel. */
  readonly firstCel: number;
  readonly lastsMs: number;
}

export interface PourRuns {
  readonly schedule: Schedule;
  pour(number: number): Pour;
  recorded(number: number): RecordedRun;
}

const periodMs = 576_000;
/** Furnace above the part's set, and what the way to the flask takes from it. */
const furnaceAboveSet = 12;
const transferLoss = 13.2;
/** Flasks stand this many places between the tables and the pour. */
const waiting = 8;

/**
 * Aluminium pours, one flask a ladle. The first pours after a ladle's preheat go into the pig mould, not into a
 * flask, so the 8 K that a cool ladle takes have died away.
 */
export function pourRuns(key: PlantKey, station: string): PourRuns {
  const schedule: Schedule = {
    station,
    seed: key.seed,
    originMs: key.firstMs + 180_000,
    periodMs,
    jitterMs: 60_000,
  };
  const first = earliestRun(periodMs);
  const holding = Math.exp(-periodMs / 1_800_000);
  const furnace = autoregressive(randomAt(key.seed, station, 0, "furnace"), holding, 2, first);
  const tilt = autoregressive(randomAt(key.seed, station, 0, "tilt"), 0.3, 0.02, first);

  const pour = (number: number): Pour => {
    const random = randomAt(key.seed, station, number, "pour");
    const flask = number - waiting;
    const part = partOfFlask(aluminiumParts, flask);
    const firstCel = part.setCel + furnaceAboveSet + furnace(number) - transferLoss + 3 * random.normal();
    const lastsMs = Math.round(1000 * part.pourSeconds * (1 + tilt(number) + 0.03 * random.normal()));
    return { part, flask: flaskName(true, flask), ladle: `LA-${600_000 + number}`, firstCel, lastsMs };
  };
  const recorded = (number: number): RecordedRun => {
    const { part, firstCel, lastsMs } = pour(number);
    const startMs = startOf(schedule, number);
    const random = randomAt(key.seed, station, number, "recorded");
    return recordedRun(station, startMs, lastsMs, part.id, [
      { feature: "pour.T1", unit: "Cel", value: firstCel + firstOffset + firstSd * random.normal() },
      { feature: "pour.time", unit: "s", value: lastsMs / 1000 },
    ]);
  };
  return { schedule, pour, recorded };
}

// Our own simulation, held by history-agrees.test.ts: the highest of the filtered stream lies above its mean.
const firstOffset = 1.25;
const firstSd = 0.65;
