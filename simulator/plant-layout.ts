/** The invented plant's stations of the first part, with the gateway that sends for each. */
export const sources = ["GW-PR", "GW-AO", "GW-DR", "GW-CT", "GW-PO"] as const;

export type Source = (typeof sources)[number];

export const presses = ["PR-01", "PR-02", "PR-03", "PR-04"] as const;
export const dryers = ["DR-1", "DR-2", "DR-3"] as const;
export const tables = ["CT-A1", "CT-A2", "CT-F1", "CT-F2"] as const;
export const oven = "AO-1";
export const pourStation = "PO-A";

/** Site altitude 312 m, standard atmosphere. */
export const ambientPressureHpa = 976.3;

export interface AluminiumPart {
  readonly id: string;
  /** First-metal set, Cel. */
  readonly setCel: number;
  readonly pourSeconds: number;
}

/** Pour times are ours: common practice, no source. */
export const aluminiumParts: readonly AluminiumPart[] = [
  { id: "OFW-2107", setCel: 750, pourSeconds: 10.5 },
  { id: "OFW-2115", setCel: 760, pourSeconds: 12 },
  { id: "OFW-2130", setCel: 745, pourSeconds: 13.5 },
];

export const ironParts: readonly string[] = ["OFW-3304", "OFW-3312", "OFW-3319"];

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
}

/** Memory of the plant reaches this far before its first instant: history is made out of it. */
export const memoryMs = 62 * 86_400_000;

/** Number of the earliest run that the plant remembers at a station with that period. */
export function earliestRun(periodMs: number): number {
  return -Math.ceil(memoryMs / periodMs) - 2;
}
