import { cut, type Emission, remembering, type Station, type Track } from "../emission.ts";
import type { PlantKey } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { type DryerRuns, dryerEveryMs } from "../runs/dryer-load.ts";
import { cyclesBetween, startOf } from "../schedule.ts";

const clusters = "60";

/** A matched pair of humidity and temperature probes in supply and return air, every 30 s. */
export function dryerStation(key: PlantKey, station: string, runs: DryerRuns): Station {
  const tracksOf = remembering((number) => tracks(key, station, number, runs));
  const emissions = (fromMs: number, toMs: number): Emission[] => {
    const out: Emission[] = [];
    for (const cycle of cyclesBetween(runs.schedule, fromMs, toMs)) {
      for (const track of tracksOf(cycle.number)) out.push(...cut(track, fromMs, toMs));
      const attributes = { clusters, part: runs.part(cycle.number) };
      const marks = [
        { tMs: cycle.startMs, value: 1 },
        { tMs: cycle.startMs + runs.loadLastsMs(cycle.number), value: 0 },
      ];
      for (const { tMs, value } of marks) {
        if (fromMs <= tMs && tMs < toMs) out.push({ kind: "event", series: `${station}/load`, tMs, value, attributes });
      }
    }
    return out;
  };
  return { id: station, emissions };
}

function tracks(key: PlantKey, station: string, number: number, runs: DryerRuns): Track[] {
  const trace = runs.trace(number);
  const startMs = startOf(runs.schedule, number);
  const track = (role: string, unit: string, clean: number[], sd: number): Track => {
    const random = randomAt(key.seed, station, number, role);
    // A humidity probe reads no less than nothing and no more than saturation.
    const top = unit === "%" ? 100 : Number.POSITIVE_INFINITY;
    const values = clean.map((value) => Math.min(top, Math.max(0, value + sd * random.normal())));
    return { series: `${station}/${role}`, unit, digits: 1, startMs, everyMs: dryerEveryMs, values };
  };
  return [
    track("supply-rh", "%", trace.supplyRh, 0.3),
    track("return-rh", "%", trace.returnRh, 0.3),
    track("supply-t", "Cel", trace.supplyCel, 0.15),
    track("return-t", "Cel", trace.returnCel, 0.15),
  ];
}
