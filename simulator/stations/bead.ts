import { calendarOf } from "../calendar.ts";
import { type Channel, happening, marks, runTrack, single, steady } from "../channel.ts";
import { cyclicStation, type Piece } from "../cyclic.ts";
import type { Station, Track } from "../emission.ts";
import type { FaultPlan } from "../faults.ts";
import { batchesOfFill, fillName, lotOfBatch, siloOfFill } from "../lineage.ts";
import type { PlantKey } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { batchMs, type Prepuff, weighedAfterMs } from "../runs/prepuff.ts";
import type { Services } from "../runs/services.ts";
import { type Cycle, type Schedule, startOf } from "../schedule.ts";
import { shiftAt } from "../site-clock.ts";

const hour = 3_600_000;
export const batchesOfLot = 120;

/** Hour by hour, as its batches go to the pre-expander. */
export function beadStoreSchedule(key: PlantKey, station: string, from: Prepuff): Schedule {
  return {
    station,
    seed: key.seed,
    calendar: calendarOf(key),
    originMs: from.schedule.originMs,
    periodMs: hour,
    jitterMs: 0,
  };
}

/** A lot of raw bead in use, told again at each shift; its pentane is measured as it is opened and each day. */
export function beadStore(key: PlantKey, station: string, from: Prepuff, around: Services): Station {
  const schedule = beadStoreSchedule(key, station, from);
  const air = steady(key, station, [
    { role: "storage-t", unit: "Cel", everyMs: 60_000, digits: 1, sd: 0.1, at: (t) => 14 + 0.4 * around.ambientCel(t) },
  ]);
  const batchOfDay = 24;
  const piece = ({ number, startMs }: Cycle): Piece => {
    const lot = lotOfBatch(from.id, number);
    const before = lotOfBatch(from.id, number - 1);
    const opensMs = startOf(schedule, openingBatch(from.id, number));
    const attributes = { lot, bead: from.bead, opened: new Date(opensMs).toISOString() };
    const told = before !== lot || shiftAt(startMs).label !== shiftAt(startMs - hour).label;
    const tracks: Track[] = [];
    if ((number - openingBatch(from.id, number)) % batchOfDay === 0) {
      const days = (startMs - opensMs) / (24 * hour);
      const percent = pentaneOfDay(days) + 0.05 * randomAt(key.seed, station, number, "pentane").normal();
      tracks.push(single(station, "pentane", "%", 2, startMs + 60_000, percent));
    }
    return { tracks, happenings: told ? [happening(station, "lot", startMs, 1, attributes)] : [] };
  };
  return cyclicStation(station, schedule, piece, air);
}

/** Pentane of a lot that was opened so many days ago, %. */
export function pentaneOfDay(days: number): number {
  return 6.3 * Math.exp(-0.01 * days);
}

/** The first batch of the lot that a batch is of. */
export function openingBatch(preExpander: string, batch: number): number {
  const lot = lotOfBatch(preExpander, batch);
  let first = batch;
  while (first > batch - batchesOfLot && lotOfBatch(preExpander, first - 1) === lot) first -= 1;
  return first;
}

const steps = [
  { state: 1, afterMs: 0 },
  { state: 2, afterMs: 20_000 },
  { state: 3, afterMs: 150_000 },
  { state: 4, afterMs: 180_000 },
  { state: 0, afterMs: batchMs },
] as const;

/** Batches of prepuff: the vessel, and three weighings of each. */
export function preExpander(key: PlantKey, runs: Prepuff): Station {
  const { id, schedule } = runs;
  const piece = ({ number, startMs }: Cycle): Piece => {
    const { cookCel, moisture } = cookOf(key, id, number);
    const cooking = (t: number): boolean => t - startMs >= 20_000 && t - startMs < 150_000;
    const vessel = (t: number): number => {
      const s = (t - startMs) / 1000;
      if (s < 20) return 70 - 0.4 * s;
      if (s < 150) return cookCel - (cookCel - 62) * Math.exp(-(s - 20) / 9);
      return 60 + (cookCel - 60) * Math.exp(-(s - 150) / 60);
    };
    const run = (channel: Channel): Track => runTrack(key, id, number, channel, startMs, batchMs);
    const fill = Math.floor(number / batchesOfFill);
    const attributes = {
      batch: runs.batchName(number),
      lot: runs.lot(number),
      bead: runs.bead,
      fill: fillName(id, fill),
      silo: siloOfFill(id, fill),
    };
    return {
      tracks: [
        run({
          role: "vessel-pressure",
          unit: "bar",
          everyMs: 200,
          digits: 3,
          sd: 0.002,
          at: (t) => (cooking(t) ? 0.02 : 0),
        }),
        run({ role: "vessel-t", unit: "Cel", everyMs: 1000, digits: 1, sd: 0.2, at: vessel }),
        run({
          role: "steam-valve",
          unit: "%",
          everyMs: 1000,
          digits: 1,
          sd: 0.4,
          range: [0, 100],
          at: (t) => (cooking(t) ? 42 : 0),
        }),
        run({
          role: "agitator-current",
          unit: "A",
          everyMs: 1000,
          digits: 2,
          sd: 0.05,
          at: (t) => (cooking(t) ? 7.4 : 6.1),
        }),
        ...runs
          .weighings(number)
          .map((gL, i) => single(id, "density", "g/L", 1, startMs + (weighedAfterMs[i] as number), gL)),
        single(id, "moisture", "%", 1, startMs + 230_000, moisture),
      ],
      happenings: steps.map(({ state, afterMs }) => happening(id, "batch", startMs + afterMs, state, attributes)),
    };
  };
  return cyclicStation(id, schedule, piece);
}

/** How hot a batch is cooked, and how moist it comes out, %. */
export function cookOf(
  key: PlantKey,
  id: string,
  batch: number,
): { readonly cookCel: number; readonly moisture: number } {
  const random = randomAt(key.seed, id, batch, "cook");
  return { cookCel: 96 + 0.4 * random.normal(), moisture: Math.max(0.1, 5 + 0.6 * random.normal()) };
}

/** A fill warms its silo, and that cools within hours. */
export function siloCel(from: Prepuff, place: number, around: Services): (tMs: number) => number {
  const sinceFilled = sinceFill(from, place);
  return (t) => 19 + 0.25 * around.ambientCel(t) + 7 * Math.exp(-sinceFilled(t) / 4);
}

function sinceFill(from: Prepuff, place: number): (tMs: number) => number {
  const fillMs = batchesOfFill * hour;
  const { worked } = from.schedule.calendar;
  return (t) => {
    const periods = (worked(t) - from.fillOriginMs - place * fillMs) / (4 * fillMs);
    const filled = Math.floor(periods);
    const freeMs =
      t - worked(t) - (from.filledMs(4 * filled + place) - (from.fillOriginMs + (4 * filled + place) * fillMs));
    return ((periods - filled) * 4 * fillMs + freeMs) / hour;
  };
}

/** A fill rests so long, in working time, before the presses draw on it. */
const restHours = 18;

export function drawnFrom(key: PlantKey, filledMs: number): number {
  return calendarOf(key).later(filledMs, restHours * hour);
}

/** What the bead of a fill is like as the presses begin to draw on it. */
export function siloUse(
  key: PlantKey,
  id: string,
  number: number,
  filledMs: number,
  faults: FaultPlan,
): { readonly ageHours: number; readonly moisture: number; readonly pentane: number } {
  const random = randomAt(key.seed, id, number, "use");
  const drawnMs = drawnFrom(key, filledMs);
  const old = faults.on("old-prepuff", id, drawnMs) === undefined ? 0 : 24;
  const ageHours = (drawnMs - filledMs) / hour + old;
  const moisture = Math.max(0.1, 0.8 + 0.15 * random.normal());
  const pentane = 6.2 * Math.exp(-0.004 * (ageHours - 3)) + 0.06 * random.normal();
  return { ageHours, moisture, pentane };
}

/** A silo takes every fourth fill of its pre-expander. */
export function siloStation(key: PlantKey, id: string, from: Prepuff, around: Services, faults: FaultPlan): Station {
  const place = (Number(id.slice(-1)) - 1) % 4;
  const fillMs = batchesOfFill * hour;
  const schedule: Schedule = {
    station: id,
    seed: key.seed,
    calendar: calendarOf(key),
    originMs: from.fillOriginMs + place * fillMs,
    periodMs: 4 * fillMs,
    jitterMs: 0,
  };
  const sinceFilled = sinceFill(from, place);
  const always = steady(key, id, [
    {
      role: "silo-t",
      unit: "Cel",
      everyMs: 60_000,
      digits: 1,
      sd: 0.1,
      at: siloCel(from, place, around),
    },
    {
      role: "silo-rh",
      unit: "%",
      everyMs: 60_000,
      digits: 1,
      sd: 0.4,
      range: [0, 100],
      at: (t) => 42 + 18 * Math.exp(-sinceFilled(t) / 6) + 0.5 * around.dewCel(t),
    },
  ]);
  const piece = ({ number, startMs, endMs }: Cycle): Piece => {
    const fill = 4 * number + place;
    const attributes = { fill: fillName(from.id, fill), bead: from.bead, silo: id };
    const drawnMs = drawnFrom(key, startMs);
    const emptyMs = endMs - 60_000;
    const { moisture, pentane } = siloUse(key, id, number, startMs, faults);
    return {
      tracks: [
        single(id, "moisture", "%", 1, drawnMs + 120_000, moisture),
        single(id, "pentane", "%", 2, drawnMs + 180_000, pentane),
      ],
      happenings: [
        ...marks(id, "fill", startMs, emptyMs, attributes),
        ...marks(id, "draw", drawnMs, emptyMs - 1000, { fill: attributes.fill }),
      ],
    };
  };
  return cyclicStation(id, schedule, piece, always);
}
