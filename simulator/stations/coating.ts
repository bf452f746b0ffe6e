import { calendarOf } from "../calendar.ts";
import { type Channel, happening, marks, single, steady } from "../channel.ts";
import { cyclicStation, type Piece } from "../cyclic.ts";
import type { Station } from "../emission.ts";
import { madeOf } from "../launch.ts";
import { clusterName, clusterOfDip, clusterOfFlask, dipOfCluster } from "../lineage.ts";
import type { PlantKey } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import type { Services } from "../runs/services.ts";
import { type Dips, dipSeconds, type Slurry } from "../runs/slurry.ts";
import { type Cycle, type Schedule, startOf } from "../schedule.ts";

const hour = 3_600_000;

export function slurryBatch(tank: Slurry, batch: number): string {
  return `SB-${tank.id.slice(-1)}${900 + batch}`;
}

/** A tank of slurry, its top-ups, and the flow cup at half past each hour. */
export function slurryTank(key: PlantKey, tank: Slurry, around: Services): Station {
  const { id } = tank;
  const channel = (role: string, unit: string, digits: number, sd: number, at: Channel["at"]): Channel => ({
    role,
    unit,
    everyMs: 60_000,
    digits,
    sd,
    at,
  });
  const always = steady(key, id, [
    channel("slurry-density", "kg/L", 3, 0.004, tank.densityKgL),
    channel("slurry-t", "Cel", 1, 0.1, (t) => 21 + 0.1 * around.ambientCel(t)),
    channel("level", "%", 1, 0.3, (t) => 88 - (1.6 * tank.sinceTopUpMs(t)) / hour),
    channel("mixer", "/min", 0, 3, () => 900),
  ]);
  const piece = ({ number, startMs, endMs }: Cycle): Piece => {
    const batch = tank.batchAt(endMs - 1);
    const toppedMs = tank.batchStartMs(batch);
    const water = randomAt(key.seed, id, number, "water");
    const attributes = { batch: slurryBatch(tank, batch), water: (18 + water.normal()).toFixed(1) };
    return {
      tracks: [single(id, "viscosity", "s", 1, startMs, cupReading(key, tank, number))],
      happenings: toppedMs >= startMs && toppedMs < endMs ? [happening(id, "top-up", toppedMs, 1, attributes)] : [],
    };
  };
  return cyclicStation(id, cupSchedule(key, id), piece, always);
}

/** The flow cup is taken at half past. */
export function cupSchedule(key: PlantKey, id: string): Schedule {
  return {
    station: id,
    seed: key.seed,
    calendar: calendarOf(key),
    originMs: halfPast(key.firstMs),
    periodMs: hour,
    jitterMs: 0,
  };
}

/** What a cup showed, s. */
export function cupReading(key: PlantKey, tank: Slurry, number: number): number {
  const tMs = startOf(cupSchedule(key, tank.id), number);
  const seen = tank.viscosity(tMs) + 0.4 * randomAt(key.seed, tank.id, number, "cup").normal();
  return Math.round(10 * seen) / 10;
}

function halfPast(tMs: number): number {
  return Math.floor(tMs / hour) * hour + hour / 2;
}

/** The robot weighs a cluster, dips it, lets it drain, and weighs it again. */
export function dipRobot(key: PlantKey, runs: Dips, tanks: Readonly<Record<"SL-A" | "SL-F", Slurry>>): Station {
  const station = "RD-1";
  const piece = ({ number, startMs }: Cycle): Piece => {
    const { cluster, coat } = clusterOfDip(number);
    const { tank, drainSeconds, areaDm2, bareG, wetG } = runs.dip(cluster, coat);
    const slurry = tanks[tank];
    const attributes = {
      cluster: clusterName(cluster),
      part: madeOf(key, cluster).id,
      coat: String(coat),
      tank,
      batch: slurryBatch(slurry, slurry.batchAt(startMs)),
      area: areaDm2.toFixed(0),
    };
    const drainMs = startMs + dipSeconds * 1000;
    const endMs = drainMs + drainSeconds * 1000;
    const random = randomAt(key.seed, station, number, "weighed");
    return {
      tracks: [
        single(station, "bare-weight", "g", 0, startMs + 1000, bareG + 2 * random.normal()),
        single(station, "wet-weight", "g", 0, endMs - 1000, wetG + 4 * random.normal()),
      ],
      happenings: [
        happening(station, "dip", startMs, 1, attributes),
        happening(station, "dip", drainMs, 2, attributes),
        happening(station, "dip", endMs, 0, attributes),
      ],
    };
  };
  return cyclicStation(station, runs.schedule, piece);
}

export function weighSchedule(key: PlantKey): Schedule {
  return {
    station: "CW-1",
    seed: key.seed,
    calendar: calendarOf(key),
    originMs: key.firstMs + 100_000,
    periodMs: 720_000,
    jitterMs: 60_000,
  };
}

/** Flasks of a line stand ten hours behind the bench that weighs their clusters. */
const aheadMs = 10 * hour;

/** Five clusters an hour are weighed dry, of aluminium and of iron in turn. */
export function weighedCluster(number: number): number {
  const group = Math.floor(number / 5);
  const aluminium = ((group % 2) + 2) % 2 === 0;
  const everyMs = aluminium ? 576_000 : 960_000;
  const ordinal = Math.round((group * hour + aheadMs) / everyMs) + (number - 5 * group);
  return clusterOfFlask({ aluminium, ordinal });
}

export function weighBench(
  key: PlantKey,
  runs: Dips,
  tanks: Readonly<Record<"SL-A" | "SL-F", Slurry>>,
  loadOf: (cluster: number) => string,
): Station {
  const station = "CW-1";
  const piece = ({ number, startMs }: Cycle): Piece => {
    const cluster = weighedCluster(number);
    const { tank } = runs.dip(cluster, 2);
    const dipped = new Date(startOf(runs.schedule, dipOfCluster(cluster, 2))).toISOString();
    const attributes = {
      cluster: clusterName(cluster),
      part: madeOf(key, cluster).id,
      tank,
      "recipe-cup": tanks[tank].baseSeconds.toFixed(0),
      load: loadOf(cluster),
      dipped,
    };
    const seen = runs.coat(cluster) + 0.1 * randomAt(key.seed, station, number, "weighed").normal();
    return {
      tracks: [single(station, "coat", "g/dm2", 1, startMs + 40_000, seen)],
      happenings: marks(station, "weigh", startMs, startMs + 60_000, attributes),
    };
  };
  return cyclicStation(station, weighSchedule(key), piece);
}
