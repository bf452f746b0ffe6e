import { runId } from "../../spc/model/run.ts";
import { madeOf } from "../launch.ts";
import {
  benchLead,
  cellOfJoint,
  clusterOfDip,
  dipOfCluster,
  jointOfCell,
  originOfSlice,
  preExpanderOf,
} from "../lineage.ts";
import { oven } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { placeOf, type Schedule, startOf } from "../schedule.ts";
import {
  benchSchedule,
  glueCel,
  glueMass,
  glueMs,
  glueSchedule,
  plateBelowK,
  pressMs,
  pressNewton,
} from "../stations/assembly.ts";
import { weighedCluster, weighSchedule } from "../stations/coating.ts";
import { dipReading } from "../stations/dip.ts";
import { checkMs } from "../stations/melt.ts";
import { dustPa } from "../stations/sand-and-casting.ts";
import { beadBooks } from "./bead-books.ts";
import { type Cooling, type CoolingLine, coolingOfFlask } from "./cooling.ts";
import { dryerSchedule } from "./dryer-load.ts";
import { hourBooks } from "./hour-books.ts";
import { ladleBook } from "./ladle-book.ts";
import { liquidusCel } from "./liquidus.ts";
import { type Off, told } from "./measuring.ts";
import type { Melt } from "./melt.ts";
import { heldHours, type Model, tableOfFlask } from "./model.ts";
import { book, equalReadings, itemRunId, link, meanOf, type RunBook, type Told } from "./run-book.ts";
import { dipSeconds } from "./slurry.ts";
import type { TrueLink } from "./true-run.ts";

/** The books of every station whose runs hand something on. */
export function runBooks(model: Model): ReadonlyMap<string, RunBook> {
  return new Map<string, RunBook>([
    ...beadBooks(model),
    ...hourBooks(model),
    ...pressBooks(model),
    [oven, ovenBook(model)],
    ...assemblyBooks(model),
    ...coatingBooks(model),
    ...castingBooks(model),
  ]);
}

function pressBooks({ presses, beads }: Model): [string, RunBook][] {
  return [...presses].map(([id, runs]): [string, RunBook] => {
    const told = (number: number, startMs: number): Told => {
      const { part, lastsMs, bead } = runs.shot(number);
      const from = beads[preExpanderOf(part)];
      return {
        startMs,
        endMs: startMs + lastsMs,
        part,
        features: runs.features(number),
        from: [{ run: itemRunId(bead.silo, bead.name, from.filledMs(bead.fill)), share: 1, as: "fill" }],
      };
    };
    return [id, book(id, runs.schedule, told)];
  });
}

function ovenBook({ oven: runs }: Model): RunBook {
  return book(oven, runs.schedule, (number, startMs) => {
    return {
      startMs,
      endMs: startMs + runs.loadLastsMs(number),
      part: null,
      features: runs.features(number),
      from: [],
    };
  });
}

/** The shot that made a slice of a pattern. */
function shotLink({ presses }: Model, cluster: number, pattern: number, slice: number, share: number): TrueLink {
  const { press, shot, cavity } = originOfSlice(cluster, pattern, slice);
  return link(press, startOf(presses.get(press)!.schedule, shot), `slice of cavity ${cavity}`, share);
}

function assemblyBooks(model: Model): [string, RunBook][] {
  const { key, faults } = model;
  const cells = ["GL-1", "GL-2", "GL-3"].map((id): [string, RunBook] => {
    const tankCel = glueCel(key, id, faults);
    const joints = book(id, glueSchedule(key, id), (number, startMs) => {
      const { cluster, pattern, joint } = jointOfCell(id, number);
      const slices = joint === 0 ? [0, 1] : [joint + 1];
      const weighed = ((number % 10) + 10) % 10 === 0;
      const features = told({
        "glue.tank_t": meanOf(tankCel, startMs, startMs + glueMs + pressMs, 5000),
        "glue.plate_t": meanOf(tankCel, startMs, startMs + glueMs + pressMs, 5000) - plateBelowK,
        "glue.press_time": pressMs / 1000,
        "glue.press_force": pressNewton,
        ...(weighed ? { "glue.mass": glueMass(key, id, number, startMs, faults) } : {}),
      });
      return {
        startMs,
        endMs: startMs + glueMs + pressMs,
        part: madeOf(key, cluster).id,
        features,
        from: slices.map((slice) => shotLink(model, cluster, pattern, slice, 1 / slices.length)),
      };
    });
    return [id, joints];
  });
  const bench = book("CL-1", benchSchedule(key), (number, startMs) => {
    const cluster = number + benchLead;
    const { id, castings, slices } = madeOf(key, cluster);
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
    const { drainSeconds, bareG, wetG, areaDm2 } = dips.dip(cluster, coat);
    return {
      startMs,
      endMs: startMs + (dipSeconds + drainSeconds) * 1000,
      part: madeOf(key, cluster).id,
      features: told({
        "dip.wet_pickup": wetG - bareG,
        "dip.wet_per_area": (wetG - bareG) / areaDm2,
        "dip.drain_time": drainSeconds,
      }),
      from: [link("CL-1", startOf(benchSchedule(key), cluster - benchLead), "cluster")],
    };
  });
  const loads = [...dryers].map(([id, runs]): [string, RunBook] => [
    id,
    book(id, runs.schedule, (number, startMs) => {
      const from: TrueLink[] = [];
      let dip = Math.floor(placeOf(dips.schedule, startMs)) + 1;
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
      part: madeOf(key, cluster).id,
      features: told({ "coat.weight": dips.coat(cluster), "coat.saw_free": dips.sawFreeCoat(cluster) }),
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
      const flask = runs.flask(number);
      const { cluster, part } = flask;
      const { dryer, number: load } = model.loadOf(cluster);
      return {
        startMs,
        endMs: startMs + 60_000,
        part,
        features: { ...runs.features(number), ...told({ "sand.hold": heldHours(model, flask) }) },
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
  const superheatOf = (number: number, alloy: string, startMs: number): ReturnType<typeof told> => {
    const { "pour.T1": first } = pours.features(number);
    const freezesCel = liquidusCel(furnaces.get("FU-A1")!, alloy, startMs);
    if (first === undefined || freezesCel === null) return {};
    const off: Off = first.off == null ? {} : { "pour.superheat": first.off };
    return told({ "pour.superheat": first.value - freezesCel }, off);
  };
  const robotPours = book("PO-A", pours.schedule, (number, startMs) => {
    const { part, lastsMs, ordinal } = pours.pour(number);
    return {
      startMs,
      endMs: startMs + lastsMs,
      part: part.id,
      features: { ...pours.features(number), ...superheatOf(number, part.alloy, startMs) },
      from: [flaskLink(true, ordinal)],
    };
  });
  const checks = [...furnaces].map(([id, runs]): [string, RunBook] => [
    id,
    book(id, runs.schedule, (number, startMs) => {
      const repeats = equalReadings((n) => checkReading(model, runs, n), number);
      const read = checkReading(model, runs, number);
      const features = {
        ...runs.features(number, read !== null),
        ...told({ repeats }, read === null ? { repeats: null } : {}),
      };
      return { startMs, endMs: startMs + checkMs, part: null, features, from: [] };
    }),
  ]);
  return [
    ...filled,
    ["PO-A", robotPours],
    ["PO-F", ladleBook(model, flaskLink)],
    ...checks,
    ["CO-A", coolings(cooling["CO-A"], model)],
    ["CO-F", coolings(cooling["CO-F"], model)],
    ["SK-A", dumps("SK-A", pours.schedule, (number) => cooling["CO-A"].flasks(number), model)],
    ["SK-F", dumps("SK-F", ironPours.schedule, (number) => cooling["CO-F"].flasks(number), model)],
  ];
}

/** What the tip of a furnace's check showed; none where it came out too early. */
function checkReading({ key, faults }: Model, runs: Melt, number: number): number | null {
  const startMs = startOf(runs.schedule, number);
  return dipReading(key, { station: runs.id, number, tMs: startMs + 1000, metalCel: runs.bathCel(startMs) }, faults);
}

function coolings(line: CoolingLine, { pours, ironPours }: Model): RunBook {
  const { id } = line;
  const schedule = id === "CO-A" ? pours.schedule : ironPours.schedule;
  const poured = (number: number, place: number): number =>
    id === "CO-A" ? startOf(schedule, number) : ironPours.ladle(number).pours[place]!.startMs;
  return {
    schedule,
    of: (number) =>
      line.flasks(number).map(({ flask, part, pourEndMs, dumpMs }, place) => ({
        ...{ id: itemRunId(id, flask, pourEndMs), station: id, number, startMs: pourEndMs, endMs: dumpMs, part },
        features: told({ "cool.time": (dumpMs - pourEndMs) / 60_000 }),
        from: [link(id === "CO-A" ? "PO-A" : "PO-F", poured(number, place), "pour")],
      })),
  };
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
        features: told({ "shake.casting_t": castingCel, "shake.dust": dustPa }),
        from: [link(station === "SK-A" ? "PO-A" : "PO-F", poured(number, place), "pour")],
      })),
  };
}

/** Where a flask was dumped: what its castings are traced back from. */
export function dumpOfFlask({ cooling }: Model, aluminium: boolean, ordinal: number): string {
  const line = cooling[aluminium ? "CO-A" : "CO-F"];
  return runId(line.shakeout, coolingOfFlask(line, ordinal).dumpMs);
}
