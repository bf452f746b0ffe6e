import { marks } from "../channel.ts";
import { cyclicStation, type Piece } from "../cyclic.ts";
import type { Station } from "../emission.ts";
import type { FaultPlan } from "../faults.ts";
import { clusterName } from "../lineage.ts";
import type { PlantKey } from "../plant-layout.ts";
import { type PourRuns, poursADay, sootKelvin } from "../runs/pour.ts";
import { type Cycle, placeOf, startOf } from "../schedule.ts";
import { type DipAt, dipReading, dipTracks } from "./dip.ts";
import { streamTracks } from "./stream.ts";

const tapBeforeMs = 40_000;
const dipBeforeMs = 30_000;
const emptyAfterMs = 5000;

/** The robot's ladle pours one flask: pyrometer, poured mass, marks, and one ladle in six a dip. */
export function pourStationOf(key: PlantKey, station: string, runs: PourRuns, faults: FaultPlan): Station {
  const dipOf = (number: number): DipAt => {
    const tMs = startOf(runs.schedule, number) - dipBeforeMs;
    return { station, number, tMs, metalCel: runs.pour(number).firstCel + 1 };
  };
  const shown = (number: number): number | null => {
    const own = dipReading(key, dipOf(number), faults);
    const fault = faults.on("reading-repeated", station, startOf(runs.schedule, number));
    if (fault === undefined || own === null) return own;
    const first = Math.floor(placeOf(runs.schedule, fault.fromMs));
    return dipReading(key, dipOf(6 * Math.floor(first / 6)), faults) ?? own;
  };
  const piece = ({ number, startMs }: Cycle): Piece => {
    const { part, flask, ladle, lastsMs, firstCel, massKg, gapMs, cluster, dipped } = runs.pour(number);
    const common = { ladle, alloy: part.alloy, heat: aluminiumHeat(startMs), furnace: "FU-A1" };
    const attributes = { part: part.id, flask, cluster: clusterName(cluster), position: "1", ...common };
    const ofLadle = { ...common, vessel: "LD-A1", preheat: String(4 + (((number % 40) + 40) % 40)), lining: "30" };
    const stream = { station, number, startMs, lastsMs, firstCel, massKg, gapMs };
    return {
      tracks: [
        ...streamTracks(key, stream, sootKelvin(faults, station, startMs, poursADay)),
        ...(dipped ? dipTracks(key, dipOf(number), faults, shown(number)) : []),
      ],
      happenings: [
        ...marks(station, "ladle", startMs - tapBeforeMs, startMs + lastsMs + emptyAfterMs, ofLadle),
        ...marks(station, "pour", startMs, startMs + lastsMs, attributes),
      ],
    };
  };
  // A ladle is tapped before its pour: what is given then belongs to a run that starts a little later.
  return cyclicStation(station, runs.schedule, piece, null, 60_000, tapBeforeMs);
}

/** A heat of the holding furnace is a third of a day's metal. */
export function aluminiumHeat(tMs: number): string {
  return `HT-A${Math.floor(tMs / 28_800_000)}`;
}
