import { calendarOf } from "../calendar.ts";
import type { FaultPlan } from "../faults.ts";
import { madeOf } from "../launch.ts";
import { dipOfCluster, partOfCluster } from "../lineage.ts";
import type { PlantKey } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { type Schedule, startOf } from "../schedule.ts";
import { walk } from "../walk.ts";

const hour = 3_600_000;
const topUpMs = 10 * hour;
export type Tank = "SL-A" | "SL-F";

/** One slurry tank: evaporation thickens it, and every ten hours water is added. */
export interface Slurry {
  readonly id: Tank;
  readonly baseSeconds: number;
  /** Flow-cup time, s. */
  viscosity(tMs: number): number;
  densityKgL(tMs: number): number;
  /** Start of the top-up period that a moment is in, by number. */
  batchAt(tMs: number): number;
  /** Working time since. */
  sinceTopUpMs(tMs: number): number;
  batchStartMs(batch: number): number;
}

export function slurry(key: PlantKey, id: Tank, faults: FaultPlan): Slurry {
  const aluminium = id === "SL-A";
  const baseSeconds = aluminium ? 18 : 24;
  const originMs = key.firstMs + (aluminium ? 0 : topUpMs / 2);
  const slow = walk(key, id, "viscosity", 0.6, 43_200, 20 * 60_000);
  const thick = walk(key, id, "density", 0.003, 21_600, 20 * 60_000);
  // Over free days a tank is covered and stirred: nothing evaporates, and nobody tops it up.
  const { worked, clock } = calendarOf(key);
  const batchAt = (tMs: number): number => Math.floor((worked(tMs) - originMs) / topUpMs);
  const sinceTopUpMs = (tMs: number): number => worked(tMs) - (originMs + batchAt(tMs) * topUpMs);
  const batchStartMs = (batch: number): number => clock(originMs + batch * topUpMs);
  const wrong = (tMs: number): number => 4 * faults.size("wrong-powder", id, tMs) - 3 * faults.size("foaming", id, tMs);
  const viscosity = (tMs: number): number =>
    baseSeconds + (0.6 * sinceTopUpMs(tMs)) / hour - 3 + slow(tMs) + wrong(tMs);
  const densityKgL = (tMs: number): number =>
    1.72 + 0.002 * (viscosity(tMs) - baseSeconds) + thick(tMs) - 0.03 * faults.size("foaming", id, tMs);
  return { id, baseSeconds, viscosity, densityKgL, batchAt, sinceTopUpMs, batchStartMs };
}

export const dipSeconds = 25;
const drainSeconds = 55;

export interface Dip {
  readonly cluster: number;
  readonly coat: 1 | 2;
  readonly tank: Tank;
  readonly drainSeconds: number;
  readonly areaDm2: number;
  readonly bareG: number;
  readonly wetG: number;
}

/** The dip robot and what its coats come to. */
export interface Dips {
  readonly schedule: Schedule;
  dip(cluster: number, coat: 1 | 2): Dip;
  /** Dry coat of both dips, g/dm2. */
  coat(cluster: number): number;
  /** The same as it would have been at the cup time of the tank's recipe. */
  sawFreeCoat(cluster: number): number;
}

/** Wetted surface of a cluster, dm2: so that sixty of them carry 95 kg of dry coat. */
function areaOf(part: string): number {
  return 176 * ({ "OFW-2115": 1.15, "OFW-2130": 0.95, "OFW-3304": 0.85, "OFW-3312": 1.1 }[part] ?? 1);
}

export function dips(key: PlantKey, tanks: Readonly<Record<Tank, Slurry>>, faults: FaultPlan): Dips {
  const station = "RD-1";
  const schedule: Schedule = {
    station,
    seed: key.seed,
    calendar: calendarOf(key),
    originMs: key.firstMs + 20_000,
    periodMs: 180_000,
    jitterMs: 15_000,
  };
  const tankOf = (cluster: number): Tank => (partOfCluster(cluster).id < "OFW-3" ? "SL-A" : "SL-F");
  const sawFreeCoat = (cluster: number): number => {
    const random = randomAt(key.seed, station, cluster, "coat");
    return 9 + 0.45 * random.normal() + 1.4 * faults.size("drain-short", station, secondMs(cluster));
  };
  const secondMs = (cluster: number): number => startOf(schedule, dipOfCluster(cluster, 2));
  const coat = (cluster: number): number => {
    const { viscosity, baseSeconds } = tanks[tankOf(cluster)];
    return sawFreeCoat(cluster) + 0.35 * (viscosity(secondMs(cluster)) - baseSeconds);
  };
  const dip = (cluster: number, which: 1 | 2): Dip => {
    const { castings, slices, sliceG } = madeOf(key, cluster);
    const { id } = partOfCluster(cluster);
    const areaDm2 = areaOf(id);
    const half = (areaDm2 * coat(cluster)) / 2;
    const random = randomAt(key.seed, station, cluster, `dip-${which}`);
    const bareG = castings * slices * sliceG + 180 + (which === 2 ? half : 0);
    // Two fifths of what hangs on a cluster is water; a little more drips off on the way.
    const wetG = bareG + half * (1.8 + 0.03 * random.normal());
    const short = faults.size("drain-short", station, startOf(schedule, dipOfCluster(cluster, which))) > 0;
    return {
      cluster,
      coat: which,
      tank: tankOf(cluster),
      drainSeconds: short ? 30 : drainSeconds,
      areaDm2,
      bareG,
      wetG,
    };
  };
  return { schedule, dip, coat, sawFreeCoat };
}
