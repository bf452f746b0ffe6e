import { calendarOf } from "../calendar.ts";
import { remembering } from "../emission.ts";
import type { FaultPlan } from "../faults.ts";
import { clusterOfFlask } from "../lineage.ts";
import { autoregressive } from "../ornstein-uhlenbeck.ts";
import { aluminiumParts, earliestRun, type Part, type PlantKey, partOfFlask } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { cycleOf, placeOf, type Schedule, startOf } from "../schedule.ts";
import { flaskName } from "./flask.ts";
import { type Off, told } from "./measuring.ts";
import type { TrueFeature } from "./true-run.ts";

/** What is particular about one pour. */
export interface Pour {
  readonly part: Part;
  readonly flask: string;
  readonly ladle: string;
  /** First metal as it meets the stream's pyrometer, Cel. */
  readonly firstCel: number;
  readonly lastsMs: number;
  readonly ordinal: number;
  readonly cluster: number;
  readonly massKg: number;
  /** How long the stream stops for amid the pour; 0 where it does not. */
  readonly gapMs: number;
  /** Metal in the furnace, Cel. */
  readonly furnaceCel: number;
  /** One ladle in six is dipped. */
  readonly dipped: boolean;
}

export interface PourRuns {
  readonly schedule: Schedule;
  pour(number: number): Pour;
  /** Bath of the holding furnace, Cel. */
  furnaceCel(tMs: number): number;
  /** What it holds: the alloy of the next pour. */
  alloyAt(tMs: number): string;
  features(number: number): Readonly<Record<string, TrueFeature>>;
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
export function pourRuns(key: PlantKey, station: string, faults: FaultPlan): PourRuns {
  const schedule: Schedule = {
    station,
    seed: key.seed,
    calendar: calendarOf(key),
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
    const startMs = startOf(schedule, number);
    const cold = coldKelvin * faults.size("cold-metal", station, startMs);
    const furnaceCel = part.setCel + furnaceAboveSet + furnace(number);
    const firstCel = furnaceCel - transferLoss + 3 * random.normal() - cold;
    const steadyMs = Math.round(1000 * part.pourSeconds * (1 + tilt(number) + 0.03 * random.normal()));
    const own = randomAt(key.seed, station, number, "stream");
    const interrupted = faults.size("pour-interrupted", station, startMs);
    const chance = own.uniform() < 0.015;
    const gapMs =
      interrupted > 0 ? Math.round(3000 * interrupted) : chance ? Math.round(1000 + 3000 * own.uniform()) : 0;
    return {
      part,
      flask: flaskName(true, flask),
      ladle: `LA-${600_000 + number}`,
      firstCel,
      lastsMs: steadyMs,
      ordinal: flask,
      cluster: clusterOfFlask({ aluminium: true, ordinal: flask }),
      massKg: part.pouredKg * (1 + 0.012 * own.normal()) - 2 * faults.size("spill", station, startMs),
      gapMs,
      furnaceCel,
      dipped: number % 6 === 0 && faults.on("dip-missing", station, startMs) === undefined,
    };
  };
  const between = remembering((number) => {
    const { startMs, endMs } = cycleOf(schedule, number);
    return { startMs, lastsMs: endMs - startMs, now: pour(number).furnaceCel, next: pour(number + 1).furnaceCel };
  }, 8);
  const furnaceCel = (tMs: number): number => {
    const { startMs, lastsMs, now, next } = between(Math.floor(placeOf(schedule, tMs)));
    return now + Math.min(1, Math.max(0, (tMs - startMs) / lastsMs)) * (next - now);
  };
  const alloyAt = (tMs: number): string => {
    const number = Math.floor(placeOf(schedule, tMs));
    return pour(startOf(schedule, number) < tMs ? number + 1 : number).part.alloy;
  };
  const features = (number: number): Record<string, TrueFeature> => {
    const { firstCel, lastsMs, massKg, gapMs } = pour(number);
    const values = {
      "pour.T1": firstCel,
      "pour.time": lastsMs / 1000,
      "pour.mass": massKg,
      "pour.gap": gapMs / 1000,
    };
    return told(values, soot(faults, station, startOf(schedule, number), poursADay));
  };
  return { schedule, pour, furnaceCel, alloyAt, features };
}

const coldKelvin = 30;
export const poursADay = 150;

/** What soot on the pyrometer's lens takes from the first metal: so much a pour since it began. */
export function sootKelvin(faults: FaultPlan, station: string, tMs: number, pours: number): number {
  return 0.4 * pours * faults.grown("pyrometer-soot", station, tMs);
}

function soot(faults: FaultPlan, station: string, tMs: number, pours: number): Off {
  const kelvin = sootKelvin(faults, station, tMs, pours);
  return kelvin === 0 ? {} : { "pour.T1": -kelvin };
}
