import { runId } from "../../spc/model/run.ts";
import {
  batchesOfFill,
  benchLead,
  cellOfJoint,
  clusterOfDip,
  dipOfCluster,
  jointOfCell,
  originOfSlice,
  partOfCluster,
  preExpanderOf,
} from "../lineage.ts";
import { randomAt } from "../random.ts";
import { type Schedule, startOf } from "../schedule.ts";
import { benchSchedule, glueMass, glueSchedule } from "../stations/assembly.ts";
import { weighedCluster, weighSchedule } from "../stations/coating.ts";
import { type Cooling, coolingOfFlask } from "./cooling.ts";
import { dryerSchedule } from "./dryer-load.ts";
import { type Model, tableOfFlask } from "./model.ts";
import { batchMs, oldShare } from "./prepuff.ts";
import { dipSeconds } from "./slurry.ts";
import type { TrueFeature, TrueLink, TrueRun } from "./true-run.ts";

/** All runs of one station: what each truly was, and what it came out of. */
export interface RunBook {
  readonly schedule: Schedule;
  /** The runs of one cycle of the schedule: one, or a ladle's eight pours. */
  of(number: number): readonly TrueRun[];
}

type Told = Omit<TrueRun, "id" | "station" | "number">;

function book(station: string, schedule: Schedule, told: (number: number, startMs: number) => Told): RunBook {
  return {
    schedule,
    of: (number) => {
      const one = told(number, startOf(schedule, number));
      return [{ id: runId(station, one.startMs), station, number, ...one }];
    },
  };
}

const link = (station: string, startMs: number, as: string, share = 1): TrueLink => ({
  run: runId(station, startMs),
  share,
  as,
});

/** The books of every station whose runs hand something on. */
export function runBooks(model: Model): ReadonlyMap<string, RunBook> {
  return new Map<string, RunBook>([
    ...beadBooks(model),
    ...pressBooks(model),
    ...assemblyBooks(model),
    ...coatingBooks(model),
    ...castingBooks(model),
  ]);
}

function beadBooks({ beads, faults }: Model): [string, RunBook][] {
  return Object.values(beads).flatMap((from): [string, RunBook][] => {
    const store = from.id === "PX-1" ? "BD-1" : "BD-2";
    const batches = book(from.id, from.schedule, (number, startMs) => {
      let first = number;
      while (number - first < 120 && from.lot(first - 1) === from.lot(number)) first -= 1;
      return {
        startMs,
        endMs: startMs + batchMs,
        part: null,
        features: { "px.density": { value: from.density(number), unit: "g/L", sd: 0.075 } },
        from: [link(store, from.schedule.originMs + first * from.schedule.periodMs, "lot")],
      };
    });
    const fillMs = batchesOfFill * from.schedule.periodMs;
    const silosOf = [0, 1, 2, 3].map((place): [string, RunBook] => {
      const id = `SI-0${place + (from.id === "PX-1" ? 1 : 5)}`;
      const startOfFill = (fill: number): number => from.fillOriginMs + fill * fillMs;
      const schedule: Schedule = {
        station: id,
        seed: from.schedule.seed,
        originMs: startOfFill(place),
        periodMs: 4 * fillMs,
        jitterMs: 0,
      };
      const told = (number: number, startMs: number): Told => {
        const fill = 4 * number + place;
        const age = 18 + (faults.on("old-prepuff", id, startMs + 18 * 3_600_000) === undefined ? 0 : 24);
        const own = Array.from({ length: batchesOfFill }, (_, i) =>
          link(from.id, startOf(from.schedule, batchesOfFill * fill + i), "batch", (1 - oldShare) / batchesOfFill),
        );
        return {
          startMs,
          endMs: startMs + 4 * fillMs - 60_000,
          part: null,
          features: { "silo.age": { value: age, unit: "h", sd: 0 } },
          from: [...own, link(id, startMs - 4 * fillMs, "old stock", oldShare)],
        };
      };
      return [id, book(id, schedule, told)];
    });
    return [[from.id, batches], ...silosOf];
  });
}

function pressBooks({ presses, beads }: Model): [string, RunBook][] {
  return [...presses].map(([id, runs]): [string, RunBook] => {
    const told = (number: number, startMs: number): Told => {
      const { part, lastsMs, bead } = runs.shot(number);
      const from = beads[preExpanderOf(part)];
      const fillMs = batchesOfFill * from.schedule.periodMs;
      return {
        startMs,
        endMs: startMs + lastsMs,
        part,
        features: runs.features(number),
        from: [link(bead.silo, from.fillOriginMs + bead.fill * fillMs, "fill")],
      };
    };
    return [id, book(id, runs.schedule, told)];
  });
}

/** The shot that made a slice of a pattern. */
function shotLink({ presses }: Model, cluster: number, pattern: number, slice: number, share: number): TrueLink {
  const { press, shot, cavity } = originOfSlice(cluster, pattern, slice);
  return link(press, startOf(presses.get(press)!.schedule, shot), `slice of cavity ${cavity}`, share);
}

function assemblyBooks(model: Model): [string, RunBook][] {
  const { key, faults } = model;
  const cells = ["GL-1", "GL-2", "GL-3"].map((id): [string, RunBook] => [
    id,
    book(id, glueSchedule(key, id), (number, startMs) => {
      const { cluster, pattern, joint } = jointOfCell(id, number);
      const slices = joint === 0 ? [0, 1] : [joint + 1];
      const features: Record<string, TrueFeature> = {};
      if (((number % 10) + 10) % 10 === 0) {
        features["glue.mass"] = { value: glueMass(key, id, number, startMs, faults), unit: "g", sd: 0.003 };
      }
      return {
        startMs,
        endMs: startMs + 36_000,
        part: partOfCluster(cluster).id,
        features,
        from: slices.map((slice) => shotLink(model, cluster, pattern, slice, 1 / slices.length)),
      };
    }),
  ]);
  const bench = book("CL-1", benchSchedule(key), (number, startMs) => {
    const cluster = number + benchLead;
    const { id, castings, slices } = partOfCluster(cluster);
    const patterns = Array.from({ length: castings }, (_, pattern) => pattern);
    const from = patterns.flatMap((pattern) => {
      if (slices === 1) return [shotLink(model, cluster, pattern, 0, 1 / castings)];
      const { cell, run } = cellOfJoint({ cluster, pattern, joint: slices - 2 });
      return [link(cell, startOf(glueSchedule(key, cell), run), "pattern", 1 / castings)];
    });
    const lasted = 230_000 + Math.round(12_000 * randomAt(key.seed, "CL-1", number, "cluster").normal());
    return { startMs, endMs: startMs + Math.min(lasted, 285_000), part: id, features: {}, from };
  });
  return [...cells, ["CL-1", bench]];
}

function coatingBooks(model: Model): [string, RunBook][] {
  const { key, dips, dryers } = model;
  const dipStart = (cluster: number, coat: 1 | 2): number => startOf(dips.schedule, dipOfCluster(cluster, coat));
  const robot = book("RD-1", dips.schedule, (number, startMs) => {
    const { cluster, coat } = clusterOfDip(number);
    const { drainSeconds, bareG, wetG } = dips.dip(cluster, coat);
    return {
      startMs,
      endMs: startMs + (dipSeconds + drainSeconds) * 1000,
      part: partOfCluster(cluster).id,
      features: { "dip.wet_pickup": { value: wetG - bareG, unit: "g", sd: 4.5 } },
      from: [link("CL-1", startOf(benchSchedule(key), cluster - benchLead), "cluster")],
    };
  });
  const loads = [...dryers].map(([id, runs]): [string, RunBook] => [
    id,
    book(id, runs.schedule, (number, startMs) => {
      const from: TrueLink[] = [];
      let dip = Math.floor((startMs - dips.schedule.originMs) / dips.schedule.periodMs) + 1;
      // Back to the dips that an earlier load of any dryer took.
      for (let missed = 0; missed < 8; dip -= 1) {
        const { cluster, coat } = clusterOfDip(dip);
        const taken = model.loadOfDip(cluster, coat);
        if (taken.dryer === id && taken.number === number)
          from.push(link("RD-1", dipStart(cluster, coat), `coat ${coat}`));
        else if (startOf(dips.schedule, dip) < startMs - 600_000) missed += 1;
      }
      const features = runs.features(number);
      const part = runs.part(number);
      return { startMs, endMs: startMs + runs.loadLastsMs(number), part, features, from: from.reverse() };
    }),
  ]);
  const bench = book("CW-1", weighSchedule(key), (number, startMs) => {
    const cluster = weighedCluster(number);
    const { dryer, number: load } = model.loadOf(cluster);
    return {
      startMs,
      endMs: startMs + 60_000,
      part: partOfCluster(cluster).id,
      features: { "coat.weight": { value: dips.coat(cluster), unit: "g/dm2", sd: 0.104 } },
      from: [
        link("RD-1", dipStart(cluster, 2), "coat 2"),
        link(dryer, startOf(dryerSchedule(key, dryer), load), "load"),
      ],
    };
  });
  return [["RD-1", robot], ...loads, ["CW-1", bench]];
}

function castingBooks(model: Model): [string, RunBook][] {
  const { key, tables, pours, ironPours, furnaces, cooling } = model;
  const filled = [...tables].map(([id, runs]): [string, RunBook] => [
    id,
    book(id, runs.schedule, (number, startMs) => {
      const { cluster, part } = runs.flask(number);
      const { dryer, number: load } = model.loadOf(cluster);
      return {
        startMs,
        endMs: startMs + 60_000,
        part,
        features: runs.features(number),
        from: [
          link(dryer, startOf(dryerSchedule(key, dryer), load), "load"),
          link("CL-1", startOf(benchSchedule(key), cluster - benchLead), "cluster"),
        ],
      };
    }),
  ]);
  const flaskLink = (aluminium: boolean, ordinal: number): TrueLink => {
    const { table, number } = tableOfFlask(aluminium, ordinal);
    return link(table, startOf(tables.get(table)!.schedule, number), "flask");
  };
  const robotPours = book("PO-A", pours.schedule, (number, startMs) => {
    const { part, lastsMs, ordinal } = pours.pour(number);
    return {
      startMs,
      endMs: startMs + lastsMs,
      part: part.id,
      features: pours.features(number),
      from: [flaskLink(true, ordinal)],
    };
  });
  const handPours: RunBook = {
    schedule: ironPours.schedule,
    of: (number) =>
      ironPours.ladle(number).pours.map(({ startMs, lastsMs, part, ordinal, firstCel, massKg, gapMs, vacuumKpa }) => ({
        id: runId("PO-F", startMs),
        station: "PO-F",
        number,
        startMs,
        endMs: startMs + lastsMs,
        part: part.id,
        features: {
          "pour.T1": { value: firstCel, unit: "Cel", bias: 1.25, sd: 0.65 },
          "pour.time": { value: lastsMs / 1000, unit: "s", sd: 0 },
          "pour.mass": { value: massKg, unit: "kg", sd: 0.02 },
          "pour.gap": { value: gapMs / 1000, unit: "s", sd: 0.1 },
          "pour.vacuum": { value: vacuumKpa, unit: "kPa", sd: 0.3 },
        },
        from: [flaskLink(false, ordinal)],
      })),
  };
  const checks = [...furnaces].map(([id, runs]): [string, RunBook] => [
    id,
    book(id, runs.schedule, (number, startMs) => {
      return { startMs, endMs: startMs + 15_000, part: null, features: runs.features(number), from: [] };
    }),
  ]);
  return [
    ...filled,
    ["PO-A", robotPours],
    ["PO-F", handPours],
    ...checks,
    ["SK-A", dumps("SK-A", pours.schedule, (number) => cooling["CO-A"].flasks(number), model)],
    ["SK-F", dumps("SK-F", ironPours.schedule, (number) => cooling["CO-F"].flasks(number), model)],
  ];
}

function dumps(
  station: string,
  schedule: Schedule,
  flasks: (number: number) => readonly Cooling[],
  { pours, ironPours }: Model,
): RunBook {
  const poured = (number: number, place: number): number =>
    station === "SK-A" ? startOf(pours.schedule, number) : ironPours.ladle(number).pours[place]!.startMs;
  return {
    schedule,
    of: (number) =>
      flasks(number).map(({ part, dumpMs, castingCel }, place) => ({
        id: runId(station, dumpMs),
        station,
        number,
        startMs: dumpMs,
        endMs: dumpMs + 40_000,
        part,
        features: { "shake.casting_t": { value: castingCel, unit: "Cel", bias: 4, sd: 2 } },
        from: [link(station === "SK-A" ? "PO-A" : "PO-F", poured(number, place), "pour")],
      })),
  };
}

/** Where a flask was dumped: what its castings are traced back from. */
export function dumpOfFlask({ cooling }: Model, aluminium: boolean, ordinal: number): string {
  const line = cooling[aluminium ? "CO-A" : "CO-F"];
  return runId(line.shakeout, coolingOfFlask(line, ordinal).dumpMs);
}
