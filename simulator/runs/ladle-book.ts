import { runId } from "../../spc/model/run.ts";
import { dipReading } from "../stations/dip.ts";
import { type IronLadle, type IronPour, ironPoursADay, vacuumAt } from "./iron-pour.ts";
import { liquidusCel } from "./liquidus.ts";
import { type Off, told } from "./measuring.ts";
import type { Model } from "./model.ts";
import { sootKelvin } from "./pour.ts";
import type { RunBook } from "./run-book.ts";
import type { TrueLink, TrueRun } from "./true-run.ts";

const station = "PO-F";
const minute = 60_000;
/** From the third flask on a ladle that was cold has hardly any of it left. */
const warmFrom = 2;
const wetTipKelvin = 25;

/** Ladles of iron, and the eight pours of each. */
export function ladleBook(model: Model, flaskLink: (aluminium: boolean, ordinal: number) => TrueLink): RunBook {
  const { ironPours } = model;
  return {
    schedule: ironPours.schedule,
    of: (number) => {
      const ladle = ironPours.ladle(number);
      return [
        ladleRun(model, ladle),
        ...ladle.pours.map((pour): TrueRun => {
          const { startMs, lastsMs, part, ordinal } = pour;
          const freezesCel = liquidusCel(model.furnaces.get(ladle.furnace)!, part.alloy, startMs);
          return {
            ...{ id: runId(station, startMs), station, number, startMs, endMs: startMs + lastsMs, part: part.id },
            features: pourFeatures(model, pour, freezesCel),
            from: [flaskLink(false, ordinal)],
          };
        }),
      ];
    },
  };
}

/** Iron that freezes as graphite first has no superheat. */
function pourFeatures({ faults }: Model, pour: IronPour, freezesCel: number | null): TrueRun["features"] {
  const { startMs, lastsMs, firstCel, massKg, gapMs } = pour;
  const vacuum = Array.from({ length: Math.floor(lastsMs / 200) }, (_, i) => vacuumAt(pour, startMs + 200 * i));
  const sorted = [...vacuum].sort((a, b) => a - b);
  const values = {
    "pour.T1": firstCel,
    ...(freezesCel === null ? {} : { "pour.superheat": firstCel - freezesCel }),
    "pour.time": lastsMs / 1000,
    "pour.mass": massKg,
    "pour.gap": gapMs / 1000,
    "pour.vacuum": vacuum.reduce((sum, kpa) => sum + kpa, 0) / vacuum.length,
    "pour.vacuum_drop": (sorted[Math.floor(0.95 * (sorted.length - 1))] as number) - (sorted[0] as number),
  };
  const soot = sootKelvin(faults, station, startMs, ironPoursADay);
  return told(values, soot === 0 ? {} : { "pour.T1": -soot, "pour.superheat": -soot }, station);
}

function ladleRun({ key, faults }: Model, ladle: IronLadle): TrueRun {
  const { number, part, tapMs, emptyMs, dipMs, dipCel, preheat, pours } = ladle;
  const [first] = pours as [IronPour];
  const at = (pour: IronPour): number => (pour.startMs - tapMs) / minute;
  const line = straight(pours.slice(warmFrom).map((pour) => [at(pour), pour.firstCel]));
  const slope = straight(pours.map((pour) => [at(pour), pour.firstCel])).slope;
  const apart = at(first) - ((dipMs ?? tapMs) - tapMs) / minute;
  const values = {
    "ladle.first": first.firstCel,
    "ladle.slope": slope,
    "ladle.first_minus_line": first.firstCel - (line.height + line.slope * at(first)),
    "pour.pyro_minus_dip": first.firstCel - (dipCel + slope * apart),
    "ladle.dip": dipCel,
    "ladle.preheat": preheat,
  };
  const soot = sootKelvin(faults, station, first.startMs, ironPoursADay);
  const off: Record<string, number | null> = {};
  if (soot !== 0) Object.assign(off, { "ladle.first": -soot, "pour.pyro_minus_dip": -soot });
  const wet = wetTipKelvin * faults.size("wet-tip", station, dipMs ?? tapMs);
  if (wet > 0) Object.assign(off, { "ladle.dip": -wet, "pour.pyro_minus_dip": wet - soot });
  const read = dipMs === null ? null : dipReading(key, { station, number, tMs: dipMs, metalCel: dipCel }, faults);
  if (read === null) Object.assign(off, { "ladle.dip": null, "pour.pyro_minus_dip": null });
  const id = runId(station, tapMs).replace(station, `${station}.ladle`);
  return {
    ...{ id, station, number, startMs: tapMs, endMs: emptyMs, part: part.id, from: [] },
    features: told(values, off satisfies Off),
  };
}

interface Line {
  readonly slope: number;
  readonly height: number;
}

/** Least squares. */
function straight(points: readonly (readonly [number, number])[]): Line {
  const n = points.length;
  const [sx, sy] = [points.reduce((sum, [x]) => sum + x, 0) / n, points.reduce((sum, [, y]) => sum + y, 0) / n];
  const sxx = points.reduce((sum, [x]) => sum + (x - sx) ** 2, 0);
  const slope = points.reduce((sum, [x, y]) => sum + (x - sx) * (y - sy), 0) / sxx;
  return { slope, height: sy - slope * sx };
}
