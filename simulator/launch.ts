import { calendarOf } from "./calendar.ts";
import { clusterOfFlask, flaskOfCluster, originOfSlice, partOfCluster, partOfShot } from "./lineage.ts";
import { type Part, type PlantKey, partsOf } from "./plant-layout.ts";

/**
 * The launch of a part: three short runs of a ladle each. Where a launch is told, the part is made then and at no other time;
 * until and after it its place in the line, and its tree, hold another part of iron. Where none is told it is made all the time.
 */
export const launchPart = "OFW-3319";
const standIn = "OFW-3312";

/** Flasks of the part: ten of each thirty of iron, eight of them a ladle. */
const [lot, cycle, place, ofLadle, shortRuns] = [10, 30, 20, 8, 3] as const;
const flaskEveryMs = 960_000;
const hourMs = 3_600_000;

interface Launch {
  /** Flasks of the part, counted alone: from the first on, up to before the last. */
  readonly from: number;
  readonly to: number;
}

const ordinalOf = (nth: number): number => cycle * Math.floor(nth / lot) + place + (((nth % lot) + lot) % lot);
const nthOf = (ordinal: number): number =>
  lot * Math.floor(ordinal / cycle) + (((ordinal % cycle) + cycle) % cycle) - place;
const clusterOf = (nth: number): number => clusterOfFlask({ aluminium: false, ordinal: ordinalOf(nth) });

/** Working time at which a flask of the part is filled. */
const filledMs = (key: PlantKey, nth: number): number => key.firstMs + ordinalOf(nth) * flaskEveryMs;

/** Whole ladles, from the first whose flasks are filled after the launch began. */
function launchOf(key: PlantKey): Launch | null {
  if (key.launchMs === undefined) return null;
  const beginsMs = calendarOf(key).worked(key.launchMs);
  let ladle = Math.floor(((beginsMs - key.firstMs) / (cycle * flaskEveryMs)) * (lot / ofLadle)) - 2;
  while (filledMs(key, ofLadle * ladle) < beginsMs) ladle += 1;
  return { from: ofLadle * ladle, to: ofLadle * (ladle + shortRuns) };
}

/** The part that a cluster truly is of, on the tree of its place. */
export function madeOf(key: PlantKey, cluster: number): Part {
  const own = partOfCluster(cluster);
  if (own.id !== launchPart) return own;
  const launch = launchOf(key);
  const nth = nthOf(flaskOfCluster(cluster).ordinal);
  if (launch === null || (nth >= launch.from && nth < launch.to)) return own;
  const instead = partsOf(false).find(({ id }) => id === standIn) as Part;
  return { ...instead, castings: own.castings, slices: own.slices };
}

/** The part that a press moulds: the launch's own in the shots of which its flasks are made, and those between. */
export function mouldedAt(key: PlantKey, press: string, shot: number): string {
  const own = partOfShot(press, shot);
  if (own !== launchPart) return own;
  const launch = launchOf(key);
  if (launch === null) return own;
  const last = partOfCluster(clusterOf(launch.to - 1));
  const first = originOfSlice(clusterOf(launch.from), 0, 0).shot;
  const until = originOfSlice(clusterOf(launch.to - 1), last.castings - 1, last.slices - 1).shot;
  return shot >= first && shot <= until ? own : standIn;
}

/** What a rack or a dryer's load is called that is told by one part: the launch's while its clusters come through there. */
export function calledAt(key: PlantKey, part: string, tMs: number, aheadHours: readonly [number, number]): string {
  if (part !== launchPart) return part;
  const launch = launchOf(key);
  if (launch === null) return part;
  const at = calendarOf(key).worked(tMs);
  const [most, least] = aheadHours;
  const during =
    at >= filledMs(key, launch.from) - most * hourMs && at <= filledMs(key, launch.to - 1) - least * hourMs;
  return during ? part : standIn;
}

/** The first flask of the launch; null where none is told. */
export function firstLaunched(key: PlantKey): number | null {
  const launch = launchOf(key);
  return launch === null ? null : ordinalOf(launch.from);
}
