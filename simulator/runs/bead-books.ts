import { batchesOfFill, fillName, lotOfBatch } from "../lineage.ts";
import { type Schedule, startOf } from "../schedule.ts";
import { rackOf, roomAir, roomSchedule } from "../stations/assembly.ts";
import {
  batchesOfLot,
  beadStoreSchedule,
  cookOf,
  openingBatch,
  pentaneOfDay,
  siloCel,
  siloUse,
} from "../stations/bead.ts";
import { told } from "./measuring.ts";
import type { Model } from "./model.ts";
import { batchMs, oldShare, type Prepuff } from "./prepuff.ts";
import { book, equalReadings, itemRunId, link, meanOf, type RunBook } from "./run-book.ts";
import type { TrueRun } from "./true-run.ts";

const hour = 3_600_000;

/** Lots of raw bead, batches, silo fills and racks of patterns. */
export function beadBooks(model: Model): [string, RunBook][] {
  return [
    ...Object.values(model.beads).flatMap((from): [string, RunBook][] => [
      [storeOf(from), lots(model, from)],
      [from.id, batches(model, from)],
      ...[0, 1, 2, 3].map((place): [string, RunBook] => {
        const id = `SI-0${place + (from.id === "PX-1" ? 1 : 5)}`;
        return [id, fills(model, from, id, place)];
      }),
    ]),
    ["AG-1", racks(model, "AG-1")],
    ["AG-2", racks(model, "AG-2")],
  ];
}

const storeOf = (from: Prepuff): string => (from.id === "PX-1" ? "BD-1" : "BD-2");

/** A lot is in use from the hour of its first batch to that of the next lot's. */
function lots({ key, around }: Model, from: Prepuff): RunBook {
  const station = storeOf(from);
  const hourly = beadStoreSchedule(key, station, from);
  const first = openingBatch(from.id, 0);
  const schedule = { ...hourly, originMs: hourly.originMs + first * hour, periodMs: batchesOfLot * hour };
  return book(station, schedule, (number, startMs) => {
    const opening = first + number * batchesOfLot;
    const endMs = startOf(schedule, number + 1);
    const lastMs = startOf(hourly, opening + batchesOfLot - 24);
    let warmest = Number.NEGATIVE_INFINITY;
    for (let t = startMs; t < endMs; t += 10 * 60_000) warmest = Math.max(warmest, 14 + 0.4 * around.ambientCel(t));
    const values = {
      "bead.pentane": pentaneOfDay(0),
      "bead.pentane_end": pentaneOfDay((lastMs - startMs) / (24 * hour)),
      "bead.storage_max": warmest,
    };
    if (lotOfBatch(from.id, opening) === lotOfBatch(from.id, opening - 1)) throw new RangeError(`no lot at ${opening}`);
    return { startMs, endMs, part: null, features: told(values), from: [] };
  });
}

function batches({ key }: Model, from: Prepuff): RunBook {
  const store = storeOf(from);
  const shown = (batch: number): number[] => from.weighings(batch).map((gL) => Math.round(10 * gL) / 10);
  return book(from.id, from.schedule, (number, startMs) => {
    let first = number;
    while (number - first < 120 && from.lot(first - 1) === from.lot(number)) first -= 1;
    const { cookCel, moisture } = cookOf(key, from.id, number);
    const weighed = shown(number);
    const values = {
      "px.density": from.density(number),
      "px.density_range": Math.max(...weighed) - Math.min(...weighed),
      "px.moisture": moisture,
      "px.peak_t": cookCel,
      "px.cook_time": cookSeconds(cookCel),
      "repeats.density": equalReadings((n) => shown(Math.floor(n / 3))[n - 3 * Math.floor(n / 3)]!, 3 * number + 2),
    };
    const stuck = from.weighings(number)[0] !== from.weighings(number)[1] ? {} : sticky(from, number);
    return {
      startMs,
      endMs: startMs + batchMs,
      part: null,
      features: told(values, stuck),
      from: [link(store, openedMs(from, first), "lot")],
    };
  });
}

/** When the lot that begins with a batch was opened. */
function openedMs({ schedule }: Prepuff, batch: number): number {
  return schedule.calendar.clock(schedule.originMs + batch * schedule.periodMs);
}

/** A scale that sticks shows its last density, not this one. */
function sticky(from: Prepuff, number: number): { readonly "px.density": number } {
  return { "px.density": from.weighings(number)[0] - from.density(number) };
}

/** How long the vessel stands above 90 Cel: it warms within 9 s, and cools within 60 s. */
function cookSeconds(cookCel: number): number {
  return 130 - 9 * Math.log((cookCel - 62) / (cookCel - 90)) + 60 * Math.log((cookCel - 60) / 30);
}

function fills({ key, faults, around }: Model, from: Prepuff, id: string, place: number): RunBook {
  const fillMs = batchesOfFill * from.schedule.periodMs;
  const schedule: Schedule = {
    station: id,
    seed: from.schedule.seed,
    calendar: from.schedule.calendar,
    originMs: from.fillOriginMs + place * fillMs,
    periodMs: 4 * fillMs,
    jitterMs: 0,
  };
  const silo = siloCel(from, place, around);
  const of = (number: number): TrueRun[] => {
    const startMs = startOf(schedule, number);
    const fill = 4 * number + place;
    const { ageHours, moisture, pentane } = siloUse(key, id, number, startMs, faults);
    const own = Array.from({ length: batchesOfFill }, (_, i) =>
      link(from.id, startOf(from.schedule, batchesOfFill * fill + i), "batch", (1 - oldShare) / batchesOfFill),
    );
    const endMs = startOf(schedule, number + 1) - 60_000;
    // Fresh bead is warm: hours later its silo has cooled.
    let warmest = Number.NEGATIVE_INFINITY;
    for (let t = startMs; t < startMs + 8 * hour; t += 2 * 60_000) warmest = Math.max(warmest, silo(t));
    const values = {
      "silo.age": ageHours,
      "silo.t_max": warmest,
      "silo.moisture": moisture,
      "silo.pentane": pentane,
    };
    const before = itemRunId(id, fillName(from.id, fill - 4), startOf(schedule, number - 1));
    return [
      {
        ...{ id: itemRunId(id, fillName(from.id, fill), startMs), station: id, number, startMs, endMs, part: null },
        features: told(values),
        from: [...own, { run: before, share: oldShare, as: "old stock" }],
      },
    ];
  };
  return { schedule, of };
}

function racks({ key, around, faults }: Model, id: "AG-1" | "AG-2"): RunBook {
  const schedule = roomSchedule(key, id);
  const air = roomAir(key, id, around, faults);
  const of = (number: number): TrueRun[] => {
    const startMs = startOf(schedule, number);
    const { rack, part, lastsMs } = rackOf(key, id, number, startMs);
    const endMs = startMs + lastsMs;
    const values = {
      "room.age": lastsMs / (24 * hour),
      "room.t": meanOf(air.cel, startMs, endMs, hour / 4),
      "room.rh": meanOf(air.percent, startMs, endMs, hour / 4),
    };
    const item = itemRunId(id, rack, startMs);
    return [{ id: item, station: id, number, startMs, endMs, part, features: told(values), from: [] }];
  };
  return { schedule, of };
}
