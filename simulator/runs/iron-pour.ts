import { calendarOf } from "../calendar.ts";
import type { FaultPlan } from "../faults.ts";
import { firstLaunched, madeOf } from "../launch.ts";
import { clusterOfFlask } from "../lineage.ts";
import type { Part, PlantKey } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { type Schedule, startOf } from "../schedule.ts";
import { walk } from "../walk.ts";
import { flaskName } from "./flask.ts";
import { ironOf } from "./melt.ts";

export const flasksOfLadle = 8;
export const ironPoursADay = 90;
const tapToPourMs = 180_000;
const betweenPoursMs = 72_000;
/** Ladles of flasks that stand between the tables and the pour. */
const waitingLadles = 4;
const dipAfterTapMs = 60_000;

export interface IronPour {
  /** 0 to 7. */
  readonly position: number;
  readonly ordinal: number;
  readonly cluster: number;
  readonly flask: string;
  readonly part: Part;
  readonly startMs: number;
  readonly lastsMs: number;
  /** First metal as it is, Cel. */
  readonly firstCel: number;
  readonly massKg: number;
  /** Milliseconds that the stream stops for; 0 where it does not. */
  readonly gapMs: number;
  /** Below ambient before metal flows, and by how much less while it does, kPa. */
  readonly vacuumKpa: number;
  readonly vacuumDipKpa: number;
}

export interface IronLadle {
  readonly number: number;
  readonly name: string;
  readonly vessel: string;
  readonly furnace: "FU-F1" | "FU-F2";
  readonly part: Part;
  readonly tapMs: number;
  readonly emptyMs: number;
  readonly lossPerMinute: number;
  readonly dipMs: number | null;
  /** Metal at the dip, Cel. */
  readonly dipCel: number;
  readonly preheat: number;
  readonly liningDays: number;
  readonly pours: readonly IronPour[];
}

export interface IronPours {
  readonly schedule: Schedule;
  ladle(number: number): IronLadle;
}

/** A lining that is new takes more of the metal's heat, most of all in its first ladles: common practice, no source. */
const newLining = { lossPerMinute: 1.2, takesK: 9, ladles: 12 } as const;

/** Eight flasks of one part a ladle; flasks are taken out of the queue part by part. */
function ordinalOf(ladle: number, position: number): number {
  const block = Math.floor(ladle / 15);
  const place = ladle - 15 * block;
  const at = 8 * Math.floor(place / 3) + position;
  return 120 * block + 30 * Math.floor(at / 10) + 10 * (place % 3) + (at % 10);
}

/** The ladle that a flask is poured from, and its place there. */
export function ladleOfFlask(ordinal: number): { readonly ladle: number; readonly position: number } {
  const block = Math.floor(ordinal / 120);
  const rest = ordinal - 120 * block;
  const part = Math.floor((rest % 30) / 10);
  const at = 10 * Math.floor(rest / 30) + (rest % 10);
  return { ladle: 15 * block + 3 * Math.floor(at / 8) + part + waitingLadles, position: at % 8 };
}

export function ironPours(key: PlantKey, station: string, faults: FaultPlan): IronPours {
  const schedule: Schedule = {
    station,
    seed: key.seed,
    calendar: calendarOf(key),
    originMs: key.firstMs + 600_000,
    periodMs: flasksOfLadle * 960_000,
    jitterMs: 120_000,
  };
  const pump = walk(key, station, "vacuum", 1.2, 14_400, 15 * 60_000);

  const first = firstLaunched(key);
  // The ladles are lined anew for the launch: what that takes from the metal is seen of the new part first.
  const relined = first === null ? null : ladleOfFlask(first).ladle;

  const ladle = (number: number): IronLadle => {
    const tapMs = startOf(schedule, number);
    const random = randomAt(key.seed, station, number, "ladle");
    const part = madeOf(key, clusterOfFlask({ aluminium: false, ordinal: ordinalOf(number - waitingLadles, 0) }));
    const sinceLined = relined === null || number < relined ? null : number - relined;
    const lossPerMinute = 9 + random.normal() + (sinceLined === null ? 0 : newLining.lossPerMinute);
    const firstPourMs = tapMs + tapToPourMs;
    const coldTap = 20 * faults.size("cold-tap", station, tapMs);
    const fresh = sinceLined === null ? 0 : newLining.takesK * Math.exp(-sinceLined / newLining.ladles);
    const atFirst = part.setCel + 37 + 6 * random.normal() - coldTap - fresh;
    const cold = 35 * faults.size("cold-ladle", station, tapMs);
    const missing = random.uniform() < 0.04 || faults.on("dip-missing", station, tapMs) !== undefined;
    const pours = Array.from({ length: flasksOfLadle }, (_, position): IronPour => {
      const ordinal = ordinalOf(number - waitingLadles, position);
      const own = randomAt(key.seed, station, flasksOfLadle * number + position, "pour");
      const startMs = firstPourMs + position * betweenPoursMs + Math.round(1500 * own.normal());
      const lost = (lossPerMinute * (startMs - firstPourMs)) / 60_000 + cold * Math.exp(-position / 1.5);
      const interrupted = faults.size("pour-interrupted", station, startMs);
      const chance = own.uniform() < 0.015;
      const gapMs =
        interrupted > 0 ? Math.round(3000 * interrupted) : chance ? Math.round(1000 + 3000 * own.uniform()) : 0;
      const clogged = 10 * faults.size("vacuum-filter-clogged", station, startMs);
      return {
        position,
        ordinal,
        cluster: clusterOfFlask({ aluminium: false, ordinal }),
        flask: flaskName(false, ordinal),
        part,
        startMs,
        lastsMs: Math.round(1000 * part.pourSeconds * (1 + 0.04 * own.normal())),
        firstCel: atFirst - lost,
        massKg: part.pouredKg * (1 + 0.012 * own.normal()) - 2 * faults.size("spill", station, startMs),
        gapMs,
        vacuumKpa: 45 + pump(startMs) + 0.9 * own.normal() - 12 * faults.size("vacuum-leak", station, startMs),
        vacuumDipKpa: 8 + 6 * own.uniform() + clogged,
      };
    });
    return {
      number,
      name: `LF-${600_000 + number}`,
      vessel: `LD-F${1 + (((number % 4) + 4) % 4)}`,
      furnace: part.alloy === ironOf["FU-F2"] ? "FU-F2" : "FU-F1",
      part,
      tapMs,
      emptyMs: (pours.at(-1) as IronPour).startMs + 40_000,
      lossPerMinute,
      dipMs: missing ? null : tapMs + dipAfterTapMs,
      dipCel: atFirst + (lossPerMinute * (tapToPourMs - dipAfterTapMs)) / 60_000,
      preheat: 1 + (((number % 6) + 6) % 6),
      liningDays: 1 + Math.floor(((sinceLined ?? ((number % 340) + 340) % 340) * 8) / 90),
      pours,
    };
  };
  return { schedule, ladle };
}

/** Vacuum of a flask, kPa below ambient: it gives way while the foam turns to gas. */
export function vacuumAt({ startMs, lastsMs, vacuumKpa, vacuumDipKpa }: IronPour, tMs: number): number {
  const t = tMs - startMs;
  if (t < 0) return vacuumKpa;
  const dip = t < 3000 ? t / 3000 : Math.exp(-Math.max(0, t - 0.7 * lastsMs) / 4000);
  return vacuumKpa - vacuumDipKpa * dip;
}
