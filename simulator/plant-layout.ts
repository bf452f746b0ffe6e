import type { Week } from "./calendar.ts";

/** The invented plant's gateways. */
export const sources = [
  "GW-PR",
  "GW-AO",
  "GW-DR",
  "GW-CT",
  "GW-PO",
  "GW-PX",
  "GW-GL",
  "GW-SL",
  "GW-FU",
  "GW-SK",
  "GW-ST",
] as const;

export type Source = (typeof sources)[number];

export const presses = ["PR-01", "PR-02", "PR-03", "PR-04"] as const;
export const dryers = ["DR-1", "DR-2", "DR-3"] as const;
export const tables = ["CT-A1", "CT-A2", "CT-F1", "CT-F2"] as const;
export const oven = "AO-1";
export const pourStation = "PO-A";
export const ironPourStation = "PO-F";

export const silos = ["SI-01", "SI-02", "SI-03", "SI-04", "SI-05", "SI-06", "SI-07", "SI-08"] as const;
export const glueCells = ["GL-1", "GL-2", "GL-3"] as const;
export const furnaces = ["FU-A1", "FU-F1", "FU-F2"] as const;

/** Site altitude 312 m, standard atmosphere. */
export const ambientPressureHpa = 976.3;

export interface Part {
  readonly id: string;
  readonly alloy: string;
  /** First-metal set, Cel: of aluminium at the flask, of iron the mean of a ladle's flasks. */
  readonly setCel: number;
  readonly pourSeconds: number;
  /** What one flask takes, kg. */
  readonly pouredKg: number;
  /** Weight of one slice, g. */
  readonly sliceG: number;
  /** Slices of one pattern; castings (patterns) of one cluster. */
  readonly slices: number;
  readonly castings: number;
}

/** Pour times and poured masses are ours: common practice, no source. */
export const aluminiumParts: readonly Part[] = [
  part("OFW-2107", "AlSi7Mg0.3", 750, 10.5, 11, 41, 2, 4),
  part("OFW-2115", "AlSi6Cu4", 760, 12, 13, 63.5, 3, 2),
  part("OFW-2130", "AlSi9Cu3", 745, 13.5, 15, 88, 2, 2),
];

const ironPartList: readonly Part[] = [
  part("OFW-3304", "EN-GJS-450-10", 1405, 20, 62, 52, 1, 6),
  part("OFW-3312", "EN-GJL-250", 1420, 22, 70, 96, 2, 3),
  part("OFW-3319", "EN-GJS-450-10", 1400, 24, 76, 71, 2, 4),
];

export const ironParts: readonly string[] = ironPartList.map(({ id }) => id);

export function partsOf(aluminium: boolean): readonly Part[] {
  return aluminium ? aluminiumParts : ironPartList;
}

function part(
  id: string,
  alloy: string,
  setCel: number,
  pourSeconds: number,
  pouredKg: number,
  sliceG: number,
  slices: number,
  castings: number,
): Part {
  return { id, alloy, setCel, pourSeconds, pouredKg, sliceG, slices, castings };
}

/** Parts go through in small lots of this many flasks. */
const lotSize = 10;

/** Which of `parts` the flask of that number holds. */
export function partOfFlask<T>(parts: readonly T[], flask: number): T {
  const lot = Math.floor(flask / lotSize);
  return parts[((lot % parts.length) + parts.length) % parts.length] as T;
}

/** Seed and first instant, from which every reading follows. */
export interface PlantKey {
  readonly seed: number;
  readonly firstMs: number;
  /** Days a week on which it works; seven where none are told. */
  readonly week?: Week;
  /** When the launch of a new part begins; where none is told the part is made all the time. */
  readonly launchMs?: number;
}

/** Memory of the plant reaches this far before its first instant: history is made out of it. */
export const memoryMs = 62 * 86_400_000;

/** Number of the earliest run that the plant remembers at a station with that period. */
export function earliestRun(periodMs: number): number {
  return -Math.ceil(memoryMs / periodMs) - 2;
}
