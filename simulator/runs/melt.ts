import { calendarOf, type LetDown, letDown } from "../calendar.ts";
import type { FaultPlan } from "../faults.ts";
import type { PlantKey } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { type Schedule, startOf } from "../schedule.ts";
import { walk } from "../walk.ts";
import { type Off, told } from "./measuring.ts";
import type { PourRuns } from "./pour.ts";
import type { TrueFeature } from "./true-run.ts";

const hour = 3_600_000;

/** The holding furnace is kept hot over free days; iron is poured out, and melted anew before the week begins. */
const emptied: LetDown = { fallMs: 5 * hour, riseMs: 0.5 * hour, beforeMs: 5 * hour };

/** A furnace's bath, what its thermocouple makes of it, and the hourly check. */
export interface Melt {
  readonly id: string;
  readonly schedule: Schedule;
  readonly aluminium: boolean;
  bathCel(tMs: number): number;
  seenCel(tMs: number): number;
  /** Density index of a check, %: hydrogen in aluminium. */
  densityIndex(check: number): number;
  /** What the bath held when a check was made, for furnaces hold one alloy after another. */
  alloyAt(check: number): string;
  chemistry(check: number): Readonly<Record<string, number>>;
  /** With or without what the tip showed. */
  features(check: number, dipped: boolean): Readonly<Record<string, TrueFeature>>;
}

/** Mass per cent, mean and standard deviation, about what the standards of the alloys ask for: from memory. */
const chemistryOf: Readonly<Record<string, Readonly<Record<string, readonly [mean: number, sd: number]>>>> = {
  "AlSi7Mg0.3": { si: [7, 0.12], mg: [0.32, 0.015], cu: [0.08, 0.01] },
  AlSi6Cu4: { si: [6, 0.12], mg: [0.25, 0.015], cu: [3.6, 0.08] },
  AlSi9Cu3: { si: [9, 0.12], mg: [0.25, 0.015], cu: [2.8, 0.08] },
  "EN-GJS-450-10": {
    ...{ c: [3.6, 0.04], si: [2.4, 0.06], mn: [0.25, 0.02], p: [0.03, 0.003], s: [0.012, 0.002], mg: [0.042, 0.003] },
  },
  "EN-GJL-250": {
    ...{ c: [3.3, 0.03], si: [2, 0.05], mn: [0.65, 0.02], p: [0.05, 0.004], s: [0.08, 0.004], mg: [0.002, 0.0005] },
  },
};

/** Iron of each induction furnace: ductile iron is treated in the ladle, so the two are not mixed. */
export const ironOf = { "FU-F1": "EN-GJS-450-10", "FU-F2": "EN-GJL-250" } as const;

export function melt(key: PlantKey, id: string, aluminiumPours: PourRuns, faults: FaultPlan): Melt {
  const aluminium = id === "FU-A1";
  const schedule: Schedule = {
    station: id,
    seed: key.seed,
    calendar: calendarOf(key),
    originMs: key.firstMs + (aluminium ? 12 : id === "FU-F1" ? 25 : 42) * 60_000,
    periodMs: hour,
    jitterMs: 240_000,
  };
  const calendar = calendarOf(key);
  const heat = walk(key, id, "bath", 6, 7200, 300_000);
  // What the thermocouple is off by: it ages and is exchanged; together with the tip it makes 2.5 K of minus-dip.
  const off = walk(key, id, "thermocouple", 1.4, 6 * hour, 900_000);
  const bathCel = (tMs: number): number =>
    aluminium ? aluminiumPours.furnaceCel(tMs) : 1500 + heat(tMs) - 1470 * letDown(calendar, tMs, emptied);
  const drift = (tMs: number): number => -8 * (faults.grown("furnace-thermocouple-drift", id, tMs) / (90 / 24));
  const seenCel = (tMs: number): number => bathCel(tMs) + off(tMs) + drift(tMs);
  const densityIndex = (check: number): number => {
    const random = randomAt(key.seed, id, check, "hydrogen");
    // Skewed to the right: mean 2.4, standard deviation 0.5.
    const skewed = 1.9 + 0.46 * Math.exp(0.78 * random.normal()) * 0.8;
    return Math.max(0.4, skewed + 4 * faults.size("degas-skipped", id, startOf(schedule, check)));
  };
  const alloyAt = (check: number): string =>
    aluminium ? aluminiumPours.alloyAt(startOf(schedule, check)) : ironOf[id as keyof typeof ironOf];
  const chemistry = (check: number): Record<string, number> => {
    const random = randomAt(key.seed, id, Math.floor(check / 3), "chemistry");
    const list = Object.entries(chemistryOf[alloyAt(check)]!);
    return Object.fromEntries(list.map(([element, [mean, sd]]) => [element, mean + sd * random.normal()]));
  };
  const features = (check: number, dipped: boolean): Record<string, TrueFeature> => {
    const tMs = startOf(schedule, check);
    const values = {
      "furnace.minus_dip": off(tMs),
      "furnace.dip": bathCel(tMs),
      ...(aluminium ? { "melt.density_index": densityIndex(check) } : {}),
    };
    const unread: Off = dipped ? {} : { "furnace.minus_dip": null, "furnace.dip": null };
    return told(values, { "furnace.minus_dip": drift(tMs), ...unread });
  };
  return { id, schedule, aluminium, bathCel, seenCel, densityIndex, alloyAt, chemistry, features };
}
