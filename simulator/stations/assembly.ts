import { calendarOf, letDown } from "../calendar.ts";
import { type Channel, happening, marks, runTrack, single, steady } from "../channel.ts";
import { cyclicStation, type Piece } from "../cyclic.ts";
import type { Station, Track } from "../emission.ts";
import { swell } from "../faults/swell.ts";
import type { FaultPlan } from "../faults.ts";
import { calledAt, madeOf } from "../launch.ts";
import { benchLead, clusterName, jointOfCell, patternName } from "../lineage.ts";
import type { PlantKey } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import type { Services } from "../runs/services.ts";
import type { Cycle, Schedule } from "../schedule.ts";
import { walk } from "../walk.ts";

const hour = 3_600_000;
const stayMs = 44 * hour;

/** Air of a room that is held at 22 Cel. */
export function roomAir(
  key: PlantKey,
  id: string,
  around: Services,
  faults: FaultPlan,
): { readonly cel: (tMs: number) => number; readonly percent: (tMs: number) => number } {
  const temperature = walk(key, id, "air", 0.6, 7200, 600_000);
  const moisture = walk(key, id, "moisture", 5, 14_400, 600_000);
  const off = (t: number): number => swell(faults, "air-conditioning-off", id, t, 2 * hour, hour);
  return {
    cel: (t) => 22 + temperature(t) + 8 * off(t),
    percent: (t) => 45 + moisture(t) + 0.4 * (around.dewCel(t) - 8) - 8 * off(t),
  };
}

export function roomSchedule(key: PlantKey, id: string): Schedule {
  const originMs = key.firstMs + (id === "AG-1" ? 0.3 : 1.1) * hour;
  return {
    station: id,
    seed: key.seed,
    calendar: calendarOf(key),
    originMs,
    periodMs: 8 * hour,
    jitterMs: 15 * 60_000,
  };
}

/** A rack of patterns of one part, and how long it stays: about two days, and over free days until somebody comes. */
export function rackOf(
  key: PlantKey,
  id: string,
  number: number,
  startMs: number,
): { readonly rack: string; readonly part: string; readonly lastsMs: number } {
  const first = id === "AG-1";
  const parts = first ? ["OFW-2107", "OFW-2115", "OFW-2130"] : ["OFW-3304", "OFW-3312", "OFW-3319"];
  const calendar = calendarOf(key);
  const dueMs = startMs + stayMs + Math.round(hour * randomAt(key.seed, id, number, "stay").normal());
  const outMs = calendar.works(dueMs) ? dueMs : calendar.later(dueMs, 20 * 60_000);
  return {
    rack: `RK-${first ? "A" : "F"}${5000 + number}`,
    part: calledAt(key, parts[((number % 3) + 3) % 3] as string, startMs, [96, 44]),
    lastsMs: outMs - startMs,
  };
}

/** Racks of patterns rest for two days. */
export function ageingRoom(key: PlantKey, id: string, around: Services, faults: FaultPlan): Station {
  const { cel, percent } = roomAir(key, id, around, faults);
  const minutely = { everyMs: 60_000, digits: 1 };
  const always = steady(key, id, [
    { role: "room-t", unit: "Cel", ...minutely, sd: 0.1, at: cel },
    { role: "room-rh", unit: "%", ...minutely, sd: 0.4, range: [0, 100], at: percent },
  ]);
  const piece = ({ number, startMs }: Cycle): Piece => {
    const { rack, part, lastsMs } = rackOf(key, id, number, startMs);
    return { tracks: [], happenings: marks(id, "rack", startMs, startMs + lastsMs, { rack, part }) };
  };
  return cyclicStation(
    id,
    roomSchedule(key, id),
    piece,
    always,
    stayMs + 6 * hour + (calendarOf(key).free(key.firstMs) === null ? 0 : 50 * hour),
  );
}

export const glueMs = 8000;
export const pressMs = 28_000;
/** How much cooler than its tank the plate is, K, and how hard it presses, N. */
export const plateBelowK = 4;
export const pressNewton = 180;

export function glueSchedule(key: PlantKey, id: string): Schedule {
  const aluminium = id !== "GL-3";
  const periodMs = aluminium ? 345_600 : 28_800_000 / 70;
  const originMs = key.firstMs + (id === "GL-2" ? periodMs / 2 : 0) + (aluminium ? 0 : 90_000);
  return { station: id, seed: key.seed, calendar: calendarOf(key), originMs, periodMs, jitterMs: 25_000 };
}

/** What the joint got, g. */
export function glueMass(key: PlantKey, id: string, number: number, tMs: number, faults: FaultPlan): number {
  const less = 0.9 * faults.size("nozzle-partial", id, tMs);
  return 3 + 0.25 * randomAt(key.seed, id, number, "glue").normal() - less;
}

/** Glue in the tank of a cell, Cel. */
export function glueCel(key: PlantKey, id: string, faults: FaultPlan): (tMs: number) => number {
  const tank = walk(key, id, "tank", 0.8, 300, 60_000);
  const calendar = calendarOf(key);
  const off = { fallMs: 1.5 * hour, riseMs: 20 * 60_000, beforeMs: 2 * hour };
  return (t) =>
    126 + tank(t) - 104 * letDown(calendar, t, off) - 36 * swell(faults, "glue-heater-failed", id, t, hour, 900_000);
}

export function glueCell(key: PlantKey, id: string, faults: FaultPlan): Station {
  const tankCel = glueCel(key, id, faults);
  const always = steady(key, id, [{ role: "tank-t", unit: "Cel", everyMs: 10_000, digits: 1, sd: 0.1, at: tankCel }]);
  const piece = ({ number, startMs }: Cycle): Piece => {
    const { cluster, pattern, joint } = jointOfCell(id, number);
    const attributes = {
      part: madeOf(key, cluster).id,
      pattern: patternName(cluster, pattern),
      joint: String(joint + 1),
      cluster: clusterName(cluster),
    };
    const run = (channel: Channel): Track => runTrack(key, id, number, channel, startMs, glueMs + pressMs);
    const pressed = (t: number): number => (t - startMs < glueMs ? 0 : pressNewton);
    const weighed = ((number % 10) + 10) % 10 === 0;
    const grams = glueMass(key, id, number, startMs, faults);
    return {
      tracks: [
        run({ role: "plate-t", unit: "Cel", everyMs: 1000, digits: 1, sd: 0.3, at: (t) => tankCel(t) - plateBelowK }),
        run({ role: "press-force", unit: "N", everyMs: 1000, digits: 0, sd: 3, at: pressed }),
        ...(weighed ? [single(id, "glue-mass", "g", 2, startMs + glueMs + 10_000, grams)] : []),
      ],
      happenings: [
        happening(id, "joint", startMs, 1, attributes),
        happening(id, "joint", startMs + glueMs, 2, attributes),
        happening(id, "joint", startMs + glueMs + pressMs, 0, attributes),
      ],
    };
  };
  return cyclicStation(id, glueSchedule(key, id), piece, always);
}

export function benchSchedule(key: PlantKey): Schedule {
  return {
    station: "CL-1",
    seed: key.seed,
    calendar: calendarOf(key),
    originMs: key.firstMs + 30_000,
    periodMs: 360_000,
    jitterMs: 30_000,
  };
}

/** Here a cluster gets its tag. */
export function clusterBench(key: PlantKey): Station {
  const piece = ({ number, startMs }: Cycle): Piece => {
    const cluster = number + benchLead;
    const { id, castings } = madeOf(key, cluster);
    const random = randomAt(key.seed, "CL-1", number, "cluster");
    const lastsMs = 230_000 + Math.round(12_000 * random.normal());
    const attributes = {
      cluster: clusterName(cluster),
      part: id,
      sprue: id < "OFW-3" ? "solid" : "hollow",
      operator: `C${1 + Math.floor(4 * random.uniform())}`,
      patterns: Array.from({ length: castings }, (_, pattern) => patternName(cluster, pattern)).join(" "),
    };
    return {
      tracks: [],
      happenings: marks("CL-1", "cluster", startMs, startMs + Math.min(lastsMs, 285_000), attributes),
    };
  };
  return cyclicStation("CL-1", benchSchedule(key), piece);
}
