import { calendarOf, everyDay } from "../calendar.ts";
import { type Channel, happening, marks, runTrack, single, steady } from "../channel.ts";
import { cyclicStation, type Piece } from "../cyclic.ts";
import type { Station, Track } from "../emission.ts";
import type { FaultPlan } from "../faults.ts";
import { castingNames, clusterName } from "../lineage.ts";
import type { PlantKey } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { type CoolingLine, longestCoolingMs } from "../runs/cooling.ts";
import type { Services } from "../runs/services.ts";
import { boilerIsOn, burnerSaw } from "../runs/steam-header.ts";
import type { Cycle, Schedule } from "../schedule.ts";
import { shiftAt } from "../site-clock.ts";
import { walk } from "../walk.ts";

const hour = 3_600_000;
const dumpMs = 40_000;
export const dustPa = 780;

/** Flasks from the end of their pour to the dump. */
export function coolingStation(line: CoolingLine, pours: Schedule): Station {
  const { id } = line;
  const piece = ({ number }: Cycle): Piece => ({
    tracks: [],
    happenings: line
      .flasks(number)
      .flatMap(({ flask, part, pourEndMs, dumpMs: outMs, holdMs }) => [
        ...marks(id, "flask", pourEndMs, outMs, { flask, part }),
        ...(holdMs > 0 ? marks(id, "hold", pourEndMs, pourEndMs + holdMs, { flask }) : []),
      ]),
  });
  return cyclicStation(id, pours, piece, null, longestCoolingMs[id] + 20 * 60_000);
}

/** A flask is dumped: the surface of its castings, and the dust extraction. */
export function shakeoutStation(key: PlantKey, line: CoolingLine, pours: Schedule): Station {
  const id = line.shakeout;
  const piece = ({ number }: Cycle): Piece => {
    const tracks: Track[] = [];
    const happenings = line.flasks(number).flatMap((one, i) => {
      const run = (channel: Channel): Track => runTrack(key, id, 8 * number + i, channel, one.dumpMs, dumpMs);
      const fall = (t: number): number => one.castingCel - (0.15 * (t - one.dumpMs)) / 1000;
      tracks.push(
        run({ role: "casting-t", unit: "Cel", everyMs: 1000, digits: 0, sd: 3, at: fall }),
        run({ role: "dust-dp", unit: "Pa", everyMs: 1000, digits: 0, sd: 8, at: () => dustPa }),
      );
      return marks(id, "dump", one.dumpMs, one.dumpMs + dumpMs, {
        flask: one.flask,
        part: one.part,
        cluster: clusterName(one.cluster),
        castings: castingNames(one.cluster).join(" "),
        minutes: ((one.dumpMs - one.pourEndMs) / 60_000).toFixed(1),
      });
    });
    return { tracks, happenings };
  };
  return cyclicStation(id, pours, piece, null, longestCoolingMs[line.id] + 20 * 60_000);
}

/** Hours of the clock: shifts begin on one, whatever daylight saving does. */
function hourly(key: PlantKey, id: string): Schedule {
  const originMs = Math.floor(key.firstMs / hour) * hour;
  return { station: id, seed: key.seed, calendar: everyDay, originMs, periodMs: hour, jitterMs: 0 };
}

/** The first hour of a shift tells of it, if anybody works it. */
function shiftBegins(
  key: PlantKey,
  id: string,
  startMs: number,
  more: Readonly<Record<string, string>> = {},
): Piece["happenings"] {
  const shift = shiftAt(startMs);
  return shift.startMs === startMs && calendarOf(key).works(startMs)
    ? [happening(id, "shift", startMs, 1, { shift: shift.label, ...more })]
    : [];
}

/** From the start of a shift until the laboratory looks at its sand. */
export const laboratoryMs = 2 * hour;
export const grainFineness = 38;

/** The sand cooler; fines, loss on ignition and grain are measured two hours into each shift. */
export function sandCooler(key: PlantKey, around: Services, faults: FaultPlan): Station {
  const id = "SC-1";
  const blocked = (t: number): number => faults.size("dust-collector-blocked", id, t);
  const calendar = calendarOf(key);
  const stock = walk(key, id, "level", 6, 6 * hour, 600_000);
  const second = { everyMs: 1000, digits: 1 };
  const always = steady(key, id, [
    { role: "sand-in-t", unit: "Cel", ...second, sd: 0.4, at: around.sandInCel },
    { role: "sand-out-t", unit: "Cel", ...second, sd: 0.15, at: (t) => around.sandCel(t) + 0.8 },
    { role: "cooling-water-t", unit: "Cel", ...second, sd: 0.1, at: around.coolerWaterCel },
    {
      role: "fines-dp",
      unit: "Pa",
      everyMs: 1000,
      digits: 0,
      sd: 6,
      at: (t) => (calendar.works(t) ? 620 + 260 * blocked(t) : 0),
    },
    { role: "level", unit: "%", everyMs: 60_000, digits: 1, sd: 0.3, range: [0, 100], at: (t) => 72 + stock(t) },
  ]);
  const piece = ({ number, startMs }: Cycle): Piece => {
    const shift = shiftAt(startMs);
    const random = randomAt(key.seed, id, number, "laboratory");
    const tracks =
      startMs - shift.startMs === laboratoryMs && calendar.works(startMs)
        ? [
            single(id, "fines", "%", 2, startMs, around.finesPercent(startMs) + 0.03 * random.normal()),
            single(id, "loi", "%", 2, startMs + 60_000, around.lossOnIgnitionPercent(startMs) + 0.01 * random.normal()),
            single(id, "gfn", "1", 1, startMs + 120_000, grainFineness + 0.8 * random.normal()),
          ]
        : [];
    return { tracks, happenings: shiftBegins(key, id, startMs, { medium: "quartz" }) };
  };
  return cyclicStation(id, hourly(key, id), piece, always);
}

/** The boiler's header, with the saw of its burner. */
export function headerStation(key: PlantKey, header: (tMs: number) => number): Station {
  const id = "HD-1";
  const calendar = calendarOf(key);
  const always = steady(key, id, [
    {
      role: "pressure",
      unit: "bar",
      everyMs: 1000,
      digits: 2,
      sd: 0.01,
      at: (t) => Math.max(0, header(t) + (boilerIsOn(calendar, t) ? burnerSaw(t).bar : 0)),
    },
  ]);
  const piece = ({ startMs, endMs }: Cycle): Piece => {
    const fires = [];
    for (let t = startMs; t < endMs; t += 240_000) {
      if (boilerIsOn(calendar, t)) fires.push(happening(id, "burner", t, 1), happening(id, "burner", t + 60_000, 0));
    }
    return { tracks: [], happenings: [...fires, ...shiftBegins(key, id, startMs)] };
  };
  return cyclicStation(id, hourly(key, id), piece, always);
}

export function weatherStation(key: PlantKey, around: Services): Station {
  const id = "WX-1";
  const minutely = { everyMs: 60_000, digits: 1 };
  const always = steady(key, id, [
    { role: "ambient-t", unit: "Cel", ...minutely, sd: 0.1, at: around.ambientCel },
    { role: "dew", unit: "Cel", ...minutely, sd: 0.15, at: around.dewCel },
    { role: "barometer", unit: "hPa", ...minutely, sd: 0.1, at: around.barometerHpa },
  ]);
  const piece = ({ startMs }: Cycle): Piece => ({ tracks: [], happenings: shiftBegins(key, id, startMs) });
  return cyclicStation(id, hourly(key, id), piece, always);
}
