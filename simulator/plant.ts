import type { Station } from "./emission.ts";
import type { Fault } from "./faults.ts";
import { byHand } from "./hand.ts";
import { withInstrumentFaults } from "./instruments.ts";
import { type Message, pack } from "./messages.ts";
import {
  dryers,
  furnaces,
  glueCells,
  ironPourStation,
  oven,
  type PlantKey,
  pourStation,
  presses,
  type Source,
  silos,
  sources,
  tables,
} from "./plant-layout.ts";
import { castings } from "./runs/casting.ts";
import type { Flask } from "./runs/flask.ts";
import { heldHours, type Model, plantModel } from "./runs/model.ts";
import { placeOf, startOf } from "./schedule.ts";
import { ageingRoom, clusterBench, glueCell } from "./stations/assembly.ts";
import { beadStore, preExpander, siloStation } from "./stations/bead.ts";
import { dipRobot, slurryTank, weighBench } from "./stations/coating.ts";
import { compactionTable } from "./stations/compaction-table.ts";
import { dryerStation, loadName } from "./stations/dryer.ts";
import { inspectionStation } from "./stations/inspection.ts";
import { heatOf, ironPourStation as ironPour } from "./stations/iron-pour.ts";
import { furnaceStation, type TapsOf } from "./stations/melt.ts";
import { ovenStation } from "./stations/oven.ts";
import { aluminiumHeat, pourStationOf } from "./stations/pour.ts";
import { pressStation } from "./stations/press.ts";
import {
  coolingStation,
  headerStation,
  sandCooler,
  shakeoutStation,
  weatherStation,
} from "./stations/sand-and-casting.ts";

/** The whole plant: what each gateway sends in a window of time, from a seed, a first instant and the faults alone. */
export interface Plant {
  readonly model: Model;
  /** Messages of one gateway for fromMs <= t < toMs, in time order. */
  messages(source: Source, fromMs: number, toMs: number): Message[];
}

export function plant(key: PlantKey, faults: readonly Fault[], withoutHand = false): Plant {
  const model = plantModel(key, faults);
  const whole = stationsOf(model);
  const broken = faults.filter(({ station }) => station.includes("/")).map(({ station }) => station);
  const stations = Object.fromEntries(
    sources.map((source) => [
      source,
      whole[source].map((one) =>
        withInstrumentFaults(
          one,
          broken.filter((series) => series.startsWith(`${one.id}/`)),
          model.faults,
          key.seed,
        ),
      ),
    ]),
  ) as Record<Source, Station[]>;
  return {
    model,
    messages: (source, fromMs, toMs) =>
      heard(model.faults.all("silent", source), fromMs, toMs).flatMap(([from, to]) =>
        pack(
          stations[source].flatMap((station) => {
            const given = station.emissions(from, to);
            return withoutHand ? given.filter((e) => e.kind !== "values" || !byHand(e.series)) : given;
          }),
        ),
      ),
  };
}

function stationsOf(model: Model): Record<Source, Station[]> {
  const { key, header, around, beads, tanks, faults, cooling, pours } = model;
  const iron = model.ironPours;
  const loadOf = (cluster: number): string => {
    const { dryer, number } = model.loadOf(cluster);
    return loadName(dryer, number);
  };
  const cast = castings(model);
  return {
    "GW-PX": [
      beadStore(key, "BD-1", beads["PX-1"], around),
      beadStore(key, "BD-2", beads["PX-2"], around),
      preExpander(key, beads["PX-1"]),
      preExpander(key, beads["PX-2"]),
      ...silos.map((id) => siloStation(key, id, id < "SI-05" ? beads["PX-1"] : beads["PX-2"], around, faults)),
      ageingRoom(key, "AG-1", around, faults),
      ageingRoom(key, "AG-2", around, faults),
    ],
    "GW-PR": presses.map((id) => pressStation(key, id, model.presses.get(id)!, header, around, faults)),
    "GW-AO": [ovenStation(key, oven, model.oven, faults)],
    "GW-GL": [
      ...glueCells.map((id) => glueCell(key, id, faults)),
      clusterBench(key),
      weighBench(key, model.dips, model.tanks, loadOf),
    ],
    "GW-SL": [
      slurryTank(key, tanks["SL-A"], around),
      slurryTank(key, tanks["SL-F"], around),
      dipRobot(key, model.dips, tanks),
    ],
    "GW-DR": dryers.map((id) => dryerStation(key, id, model.dryers.get(id)!, faults)),
    "GW-CT": tables.map((id) => compactionTable(key, id, model.tables.get(id)!, dried(model), faults)),
    "GW-FU": furnaces.map((id) =>
      furnaceStation(key, model.furnaces.get(id)!, tapsOf(model, id), heatAt(model, id), faults),
    ),
    "GW-PO": [pourStationOf(key, pourStation, pours, faults), ironPour(key, ironPourStation, iron, faults)],
    "GW-SK": [
      coolingStation(cooling["CO-A"], pours.schedule),
      coolingStation(cooling["CO-F"], iron.schedule),
      shakeoutStation(key, cooling["CO-A"], pours.schedule),
      shakeoutStation(key, cooling["CO-F"], iron.schedule),
      sandCooler(key, around, faults),
      inspectionStation(key, cast, faults),
    ],
    "GW-ST": [headerStation(key, header), weatherStation(key, around)],
  };
}

/** The load that a flask's cluster was dried in, and how long ago that was. */
function dried(model: Model): (flask: Flask) => Record<string, string> {
  return (flask) => {
    const { dryer, number } = model.loadOf(flask.cluster);
    return { load: loadName(dryer, number), hold: heldHours(model, flask).toFixed(1) };
  };
}

/** Ladles tapped from a furnace. */
function tapsOf({ pours, ironPours }: Model, furnace: string): TapsOf {
  const { schedule } = furnace === "FU-A1" ? pours : ironPours;
  return (fromMs, toMs) => {
    const taps: { tMs: number; ladle: string; heat: string; alloy: string }[] = [];
    let number = Math.floor(placeOf(schedule, fromMs)) - 2;
    for (; startOf(schedule, number) - 60_000 < toMs; number += 1) {
      const tap = furnace === "FU-A1" ? aluminiumTap(pours, number) : ironTap(ironPours, furnace, number);
      if (tap !== null && fromMs <= tap.tMs && tap.tMs < toMs) taps.push(tap);
    }
    return taps;
  };
}

function aluminiumTap(pours: Model["pours"], number: number) {
  const { ladle, part } = pours.pour(number);
  const startMs = startOf(pours.schedule, number);
  return { tMs: startMs - 42_000, ladle, heat: aluminiumHeat(startMs), alloy: part.alloy };
}

function ironTap(pours: Model["ironPours"], furnace: string, number: number) {
  const ladle = pours.ladle(number);
  if (ladle.furnace !== furnace) return null;
  return { tMs: ladle.tapMs - 1000, ladle: ladle.name, heat: heatOf(furnace, number), alloy: ladle.part.alloy };
}

function heatAt({ ironPours: { schedule } }: Model, furnace: string): (tMs: number) => string {
  if (furnace === "FU-A1") return aluminiumHeat;
  return (tMs) => heatOf(furnace, Math.floor(placeOf(schedule, tMs)));
}

/** The window without the times at which the gateway is silent. */
function heard(
  silences: readonly { readonly fromMs: number; readonly toMs: number }[],
  fromMs: number,
  toMs: number,
): [number, number][] {
  let open = fromMs;
  const pieces: [number, number][] = [];
  for (const { fromMs: quiet, toMs: back } of silences) {
    if (back <= open || quiet >= toMs) continue;
    if (quiet > open) pieces.push([open, quiet]);
    open = Math.max(open, back);
  }
  if (open < toMs) pieces.push([open, toMs]);
  return pieces;
}
