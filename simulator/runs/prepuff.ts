import { calendarOf } from "../calendar.ts";
import { remembering } from "../emission.ts";
import type { FaultPlan } from "../faults.ts";
import { batchesOfFill, fillName, lotOfBatch, siloOfFill } from "../lineage.ts";
import { autoregressive } from "../ornstein-uhlenbeck.ts";
import { earliestRun, type PlantKey } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { placeOf, type Schedule, startOf } from "../schedule.ts";
import { isNight } from "../site-clock.ts";
import { season } from "./services.ts";

const hour = 3_600_000;
const fillMs = batchesOfFill * hour;
/** A fill rests so long, counted from its first batch, before the presses draw on it. */
const restMs = 18 * hour;
/** What is left of the fill before in the same silo when a new one is drawn. */
export const oldShare = 0.15;

/** Bead that a shot is made of. */
export interface BeadOfShot {
  readonly fill: number;
  readonly name: string;
  readonly silo: string;
  readonly ageHours: number;
  /** Bulk density less the target, g/L. */
  readonly densityOff: number;
  readonly pentanePercent: number;
}

export interface Prepuff {
  readonly id: "PX-1" | "PX-2";
  readonly bead: string;
  readonly targetGL: number;
  readonly schedule: Schedule;
  /** Working time at which fill 0 is begun. */
  readonly fillOriginMs: number;
  /** When a fill was begun. */
  filledMs(fill: number): number;
  /** True bulk density of a batch, g/L. */
  density(batch: number): number;
  /** What the three weighings showed. */
  weighings(batch: number): readonly [number, number, number];
  batchName(batch: number): string;
  lot(batch: number): string;
  /** What the presses draw at a moment. */
  at(tMs: number): BeadOfShot;
}

/** When the weighings of a batch are, from its start. */
export const weighedAfterMs = [190_000, 205_000, 220_000] as const;
export const batchMs = 240_000;

export function prepuff(key: PlantKey, id: "PX-1" | "PX-2", faults: FaultPlan): Prepuff {
  const first = id === "PX-1";
  const schedule: Schedule = {
    station: id,
    seed: key.seed,
    calendar: calendarOf(key),
    originMs: key.firstMs + (first ? 300_000 : 1_500_000),
    periodMs: hour,
    jitterMs: 180_000,
  };
  const targetGL = first ? 22 : 19;
  const fillOriginMs = schedule.originMs - 360_000;
  // The first shots of all are made of bead that was expanded days before them.
  const firstBatch = earliestRun(hour) - 8 * 24;
  const wander = autoregressive(randomAt(key.seed, id, 0, "density"), 0.5, 0.25, firstBatch);
  const density = (batch: number): number => {
    const tMs = startOf(schedule, batch);
    const lot = faults.size("bead-lot", id, tMs);
    return targetGL + wander(batch) + 0.2 * season(tMs) + 0.9 * (faults.size("feeder-worn", id, tMs) + lot);
  };
  const weighed = (batch: number): [number, number, number] => {
    const random = randomAt(key.seed, id, batch, "weighings");
    const one = (): number => density(batch) + 0.12 * random.normal();
    return [one(), one(), one()];
  };
  const weighings = (batch: number): [number, number, number] => {
    const stuck = faults.on("sticky-scale", id, startOf(schedule, batch) + weighedAfterMs[0]);
    if (stuck === undefined) return weighed(batch);
    const last = weighed(Math.floor(placeOf(schedule, stuck.fromMs - weighedAfterMs[2])))[2];
    return [last, last, last];
  };
  const offOfFill = remembering((fill) => {
    let sum = 0;
    for (let i = 0; i < batchesOfFill; i += 1) sum += density(batchesOfFill * fill + i) - targetGL;
    return sum / batchesOfFill;
  }, 64);
  const { worked, clock } = schedule.calendar;
  const filledMs = (fill: number): number => clock(fillOriginMs + fill * fillMs);
  const at = (tMs: number): BeadOfShot => {
    // The night shift draws on what was left of the fill before: older bead. Over free days all of it grows older.
    const fill = Math.floor((worked(tMs) - fillOriginMs - restMs) / fillMs) - (isNight(tMs) ? 1 : 0);
    const silo = siloOfFill(id, fill);
    const old = faults.on("old-prepuff", silo, tMs) !== undefined;
    const share = old ? 1 : oldShare;
    const ageHours = (tMs - filledMs(fill)) / hour - 3 + 24 * share;
    return {
      fill,
      name: fillName(id, fill),
      silo,
      ageHours,
      densityOff: (1 - share) * offOfFill(fill) + share * offOfFill(fill - 4),
      pentanePercent: 6.2 * Math.exp(-0.004 * ageHours),
    };
  };
  const bead = first ? "aluminium" : "iron";
  const batchName = (batch: number): string => `PB-${first ? "A" : "F"}${80_000 + batch}`;
  const lot = (batch: number): string => lotOfBatch(id, batch);
  return { id, bead, targetGL, schedule, fillOriginMs, filledMs, density, weighings, batchName, lot, at };
}
