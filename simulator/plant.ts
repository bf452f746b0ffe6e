import type { Station } from "./emission.ts";
import { type Fault, type FaultPlan, faultPlan } from "./faults.ts";
import { type Message, pack } from "./messages.ts";
import { dryers, oven, type PlantKey, pourStation, presses, type Source, tables } from "./plant-layout.ts";
import { dryerRuns } from "./runs/dryer-load.ts";
import { flaskRuns } from "./runs/flask.ts";
import { ovenRuns } from "./runs/oven-load.ts";
import { pourRuns } from "./runs/pour.ts";
import { pressRuns } from "./runs/press-shot.ts";
import { steamHeader } from "./runs/steam-header.ts";
import { compactionTable } from "./stations/compaction-table.ts";
import { dryerStation } from "./stations/dryer.ts";
import { ovenStation } from "./stations/oven.ts";
import { pourStationOf } from "./stations/pour.ts";
import { pressStation } from "./stations/press.ts";

/** The whole plant: what each gateway sends in a window of time, from a seed, a first instant and the faults alone. */
export interface Plant {
  /** Messages of one gateway for fromMs <= t < toMs, in time order. */
  messages(source: Source, fromMs: number, toMs: number): Message[];
}

export function plant(key: PlantKey, faults: readonly Fault[]): Plant {
  const plan = faultPlan(faults);
  const stations = stationsOf(key, plan);
  return {
    messages: (source, fromMs, toMs) =>
      heard(plan.all("silent", source), fromMs, toMs).flatMap(([from, to]) =>
        pack(stations[source].flatMap((station) => station.emissions(from, to))),
      ),
  };
}

function stationsOf(key: PlantKey, plan: FaultPlan): Record<Source, Station[]> {
  const header = steamHeader(key, plan);
  return {
    "GW-PR": presses.map((id) => pressStation(key, id, pressRuns(key, id, header, plan), plan)),
    "GW-AO": [ovenStation(key, oven, ovenRuns(key, oven), plan)],
    "GW-DR": dryers.map((id) => dryerStation(key, id, dryerRuns(key, id, plan))),
    "GW-CT": tables.map((id) => compactionTable(key, id, flaskRuns(key, id), plan)),
    "GW-PO": [pourStationOf(key, pourStation, pourRuns(key, pourStation), plan)],
  };
}

/** The window without the times at which the gateway is silent. */
function heard(silences: readonly Fault[], fromMs: number, toMs: number): [number, number][] {
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
