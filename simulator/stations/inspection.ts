import { calendarOf } from "../calendar.ts";
import { marks, single } from "../channel.ts";
import { cyclicStation, type Piece } from "../cyclic.ts";
import type { Station } from "../emission.ts";
import type { FaultPlan } from "../faults.ts";
import { madeOf } from "../launch.ts";
import type { PlantKey } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { type CastCluster, type Castings, clustersOfWindow, defectCodes, leakTested } from "../runs/casting.ts";
import type { Cycle, Schedule } from "../schedule.ts";
import { shiftAt } from "../site-clock.ts";

const id = "IN-1";
const parts = ["OFW-2107", "OFW-2115", "OFW-2130", "OFW-3304", "OFW-3312", "OFW-3319"] as const;
/** Castings are looked at so many windows of eight hours after their flask was filled. */
const visualLag = 7;
/** Of leak tests: median twelve days, in windows of eight hours. */
const leakMedian = 36;
const shortestLeak = 9;
const longestLeak = 105;
export const inspectionLotMs = 3_600_000;

export function inspectionSchedule(key: PlantKey): Schedule {
  return {
    station: id,
    seed: key.seed,
    calendar: calendarOf(key),
    originMs: key.firstMs + 600_000,
    periodMs: 4_800_000,
    jitterMs: 240_000,
  };
}

/** One casting as it was found. */
export interface Found {
  readonly casting: string;
  readonly cluster: number;
  readonly defect: string;
  /** What the inspector wrote down. */
  readonly coded: string;
}

export interface InspectedLot {
  readonly part: string;
  readonly inspector: string;
  readonly inspected: number;
  readonly found: readonly Found[];
}

/** What an inspection lot came to: a part and a shift, castings of two days ago, and leaks of weeks ago. */
export function inspectedLot(
  key: PlantKey,
  castings: Castings,
  number: number,
  startMs: number,
  faults: FaultPlan,
): InspectedLot {
  const place = ((number % 6) + 6) % 6;
  const own = parts[place] as string;
  const window = (number - place) / 6;
  const seen = clustersOfWindow(own, window - visualLag);
  // A lot is of one part: that of its first cluster, where a launch begins or ends amid it.
  const part = seen[0] === undefined ? own : madeOf(key, seen[0]).id;
  const inspector = inspectorOf(startMs, faults);
  const found: Found[] = [];
  let inspected = 0;
  for (const cluster of seen) {
    if (madeOf(key, cluster).id !== part) continue;
    const cast = castings(cluster);
    inspected += cast.castings.length;
    cast.defects.forEach((defect, at) => {
      if (defect === null || defect === "leak") return;
      const random = randomAt(key.seed, cast.castings[at] as string, 0, "inspection");
      if (defect === "fold" && random.uniform() < 0.08) return;
      found.push(write(cast, at, defect, coded(defect, inspector, random)));
    });
  }
  const lags = leakTested.includes(own) ? longestLeak : 0;
  for (let lag = shortestLeak; lag <= lags; lag += 1) {
    for (const cluster of clustersOfWindow(own, window - lag)) {
      if (leakLag(key, cluster) !== lag) continue;
      const cast = castings(cluster);
      cast.defects.forEach((defect, at) => {
        if (defect === "leak") found.push(write(cast, at, defect, defect));
      });
    }
  }
  return { part, inspector, inspected, found };
}

function write(cast: CastCluster, at: number, defect: string, code: string): Found {
  return { casting: cast.castings[at] as string, cluster: cast.cluster, defect, coded: code };
}

function leakLag(key: PlantKey, cluster: number): number {
  const drawn = leakMedian * Math.exp(0.45 * randomAt(key.seed, id, cluster, "leak-lag").normal());
  return Math.min(longestLeak, Math.max(shortestLeak, Math.round(drawn)));
}

/** One inspector a shift; from a change on, the third has the early one. */
function inspectorOf(tMs: number, faults: FaultPlan): string {
  const { name } = shiftAt(tMs);
  const changed = faults.on("inspector-change", id, tMs) !== undefined;
  if (name === "night" || (name === "early" && changed)) return "I3";
  return name === "early" ? "I1" : "I2";
}

/** Six in a hundred are coded wrong, and the third inspector calls every other beady surface a fold. */
function coded(defect: string, inspector: string, random: ReturnType<typeof randomAt>): string {
  if (random.uniform() < 0.06) return defectCodes[Math.floor(random.uniform() * 7)] as string;
  return inspector === "I3" && defect === "beady" && random.uniform() < 0.5 ? "fold" : defect;
}

export function inspectionStation(key: PlantKey, castings: Castings, faults: FaultPlan): Station {
  const schedule = inspectionSchedule(key);
  const piece = ({ number, startMs }: Cycle): Piece => {
    const { part, inspector, inspected, found } = inspectedLot(key, castings, number, startMs, faults);
    const endMs = startMs + inspectionLotMs;
    const attributes = { lot: `IL-${7000 + number}`, part, inspector };
    const counts = [
      ["inspected", inspected],
      ["defective", found.length],
      ...defectCodes.map((code) => [code, found.filter((f) => f.coded === code).length] as const),
    ] as const;
    return {
      tracks: counts.map(([role, count], i) => single(id, role, "1", 0, endMs - 5000 + 100 * i, count)),
      happenings: marks(id, "lot", startMs, endMs, attributes),
    };
  };
  return cyclicStation(id, schedule, piece);
}
