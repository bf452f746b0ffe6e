import { marks, runTrack } from "../channel.ts";
import { cyclicStation, type Piece } from "../cyclic.ts";
import type { Happening, Station, Track } from "../emission.ts";
import type { FaultPlan } from "../faults.ts";
import { clusterName } from "../lineage.ts";
import type { PlantKey } from "../plant-layout.ts";
import {
  flasksOfLadle,
  type IronLadle,
  type IronPour,
  type IronPours,
  ironPoursADay,
  vacuumAt,
} from "../runs/iron-pour.ts";
import { sootKelvin } from "../runs/pour.ts";
import { type Cycle, placeOf } from "../schedule.ts";
import { type DipAt, dipReading, dipTracks } from "./dip.ts";
import { streamTracks } from "./stream.ts";

/** Vacuum is drawn before the first metal and held on for a while. */
const vacuumBeforeMs = 4000;

/** Eight flasks a ladle: a dip after the tap, then pyrometer, mass and flask vacuum of each pour. */
export function ironPourStation(key: PlantKey, station: string, runs: IronPours, faults: FaultPlan): Station {
  const dipOf = (ladle: IronLadle): DipAt => ({
    station,
    number: ladle.number,
    tMs: ladle.dipMs ?? ladle.tapMs,
    metalCel: ladle.dipCel,
  });
  const shown = (ladle: IronLadle): number | null => {
    const own = dipReading(key, dipOf(ladle), faults);
    const fault = faults.on("reading-repeated", station, ladle.tapMs);
    if (fault === undefined || own === null) return own;
    const first = Math.floor(placeOf(runs.schedule, fault.fromMs));
    return dipReading(key, dipOf(runs.ladle(first)), faults) ?? own;
  };
  const piece = ({ number }: Cycle): Piece => {
    const ladle = runs.ladle(number);
    const { name, vessel, furnace, part, tapMs, emptyMs, preheat, liningDays } = ladle;
    const heat = heatOf(furnace, number);
    const common = { ladle: name, heat, furnace, alloy: part.alloy };
    const ofLadle = { ...common, vessel, preheat: String(preheat), lining: String(liningDays) };
    return {
      tracks: [
        ...(ladle.dipMs === null ? [] : dipTracks(key, dipOf(ladle), faults, shown(ladle))),
        ...ladle.pours.flatMap((pour) => pourTracks(key, station, ladle, pour, faults)),
      ],
      happenings: [
        ...marks(station, "ladle", tapMs, emptyMs, ofLadle),
        ...ladle.pours.flatMap((pour): Happening[] => {
          const { flask, cluster, position, startMs, lastsMs } = pour;
          const where = { part: part.id, flask, cluster: clusterName(cluster), position: String(position + 1) };
          return marks(station, "pour", startMs, startMs + lastsMs, { ...where, ...common });
        }),
      ],
    };
  };
  return cyclicStation(station, runs.schedule, piece);
}

/** A heat of an induction furnace fills four ladles. */
export function heatOf(furnace: string, ladle: number): string {
  return `HT-${furnace.slice(-2)}-${4000 + Math.floor(ladle / 8)}`;
}

function pourTracks(
  key: PlantKey,
  station: string,
  ladle: IronLadle,
  pour: IronPour,
  faults: FaultPlan,
): readonly Track[] {
  const number = flasksOfLadle * ladle.number + pour.position;
  const { startMs, lastsMs, firstCel, massKg, gapMs } = pour;
  const stream = { station, number, startMs, lastsMs, firstCel, massKg, gapMs };
  return [
    ...streamTracks(key, stream, sootKelvin(faults, station, startMs, ironPoursADay)),
    runTrack(
      key,
      station,
      number,
      { role: "vacuum", unit: "kPa", everyMs: 200, digits: 1, sd: 0.25, at: (t) => vacuumAt(pour, t) },
      startMs - vacuumBeforeMs,
      lastsMs + vacuumBeforeMs,
    ),
  ];
}
