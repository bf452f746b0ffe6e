import { calendarOf, everyDay } from "../calendar.ts";
import { placeOf, type Schedule, startOf } from "../schedule.ts";
import { shiftAt } from "../site-clock.ts";
import { cupReading, cupSchedule } from "../stations/coating.ts";
import { inspectedLot, inspectionLotMs, inspectionSchedule } from "../stations/inspection.ts";
import { grainFineness, laboratoryMs } from "../stations/sand-and-casting.ts";
import { castings, type defectCodes } from "./casting.ts";
import { told } from "./measuring.ts";
import type { Model } from "./model.ts";
import { book, equalReadings, meanOf, type RunBook, type Told } from "./run-book.ts";
import type { Slurry } from "./slurry.ts";
import { burnerSaw } from "./steam-header.ts";

const hour = 3_600_000;

/** Stations whose runs are hours of the clock: header, tanks, sand and air; and the inspection's lots. */
export function hourBooks(model: Model): [string, RunBook][] {
  const { key, header, around, tanks, faults } = model;
  const calendar = calendarOf(key);
  const hourly = (station: string, values: (startMs: number) => Record<string, number>): [string, RunBook] => {
    const originMs = Math.floor(key.firstMs / hour) * hour;
    const schedule: Schedule = { station, seed: key.seed, calendar: everyDay, originMs, periodMs: hour, jitterMs: 0 };
    const tell = (_number: number, startMs: number): Told => ({
      ...{ startMs, endMs: startMs + hour, part: null, from: [] },
      features: told(values(startMs)),
    });
    const every = book(station, schedule, tell);
    // Nobody charts an hour of free time.
    return [station, { schedule, of: (number) => (calendar.works(startOf(schedule, number)) ? every.of(number) : []) }];
  };
  const mean = (at: (tMs: number) => number, startMs: number): number => meanOf(at, startMs, startMs + hour, 120_000);
  return [
    hourly("HD-1", (startMs) => ({
      "header.min": lowestOf(header, startMs),
      "header.mean": meanOf(header, startMs, startMs + hour, 30_000),
    })),
    hourly("WX-1", (startMs) => ({
      "air.dew": mean(around.dewCel, startMs),
      "air.t": mean(around.ambientCel, startMs),
      "air.pressure": mean(around.barometerHpa, startMs),
    })),
    hourly("SC-1", (startMs) => ({
      "sand.t_out": mean((t) => around.sandCel(t) + 0.8, startMs),
      "sand.t_in": mean(around.sandInCel, startMs),
      "sand.cooling_water": mean(around.coolerWaterCel, startMs),
      "sand.fines_dp": mean((t) => 620 + 260 * faults.size("dust-collector-blocked", "SC-1", t), startMs),
      ...(startMs - shiftAt(startMs).startMs === laboratoryMs
        ? {
            "sand.fines": around.finesPercent(startMs),
            "sand.loi": around.lossOnIgnitionPercent(startMs),
            "sand.gfn": grainFineness,
          }
        : {}),
    })),
    ...Object.values(tanks).map((tank) => hourly(tank.id, (startMs) => tankValues(model, tank, startMs))),
    ["IN-1", inspection(model)],
  ];
}

function tankValues({ key, around }: Model, tank: Slurry, startMs: number): Record<string, number> {
  const cups = cupSchedule(key, tank.id);
  const cup = Math.ceil(placeOf(cups, startMs));
  const cupMs = startOf(cups, cup);
  const sinceTopUp = tank.sinceTopUpMs(cupMs) / hour;
  return {
    "slurry.saw_free": tank.viscosity(cupMs) - 0.6 * sinceTopUp,
    "slurry.density": meanOf(tank.densityKgL, startMs, startMs + hour, 120_000),
    "slurry.t": meanOf((t) => 21 + 0.1 * around.ambientCel(t), startMs, startMs + hour, 600_000),
    "slurry.mixer": 900,
    "repeats.viscosity": equalReadings((number) => cupReading(key, tank, number), cup),
  };
}

/** The header with the saw of its burner is lowest as the burner starts. */
function lowestOf(header: (tMs: number) => number, startMs: number): number {
  let lowest = Number.POSITIVE_INFINITY;
  for (let t = startMs; t < startMs + hour; t += 10_000) lowest = Math.min(lowest, header(t) + burnerSaw(t).bar);
  return lowest;
}

/** Defects that are charted. */
const charted = ["fold", "gas", "penetration", "carbon", "distortion"] satisfies (typeof defectCodes)[number][];

function inspection(model: Model): RunBook {
  const { key, faults } = model;
  const cast = castings(model);
  return book("IN-1", inspectionSchedule(key), (number, startMs) => {
    const { part, inspected, found } = inspectedLot(key, cast, number, startMs, faults);
    const share = (count: number): number => (100 * count) / inspected;
    const coded = charted.map((code) => [`inspect.${code}`, share(found.filter((f) => f.coded === code).length)]);
    const values = { "inspect.defective": share(found.length), ...Object.fromEntries(coded) };
    return { startMs, endMs: startMs + inspectionLotMs, part, features: inspected === 0 ? {} : told(values), from: [] };
  });
}
