import type { Site, Station } from "../../../collector/platform/settings/site.ts";
import type { Fault } from "../../../simulator/faults.ts";
import { oven, type PlantKey } from "../../../simulator/plant-layout.ts";
import { recordedRuns } from "../../../simulator/recorded-runs.ts";
import { plantModel } from "../../../simulator/runs/model.ts";
import { runBooks } from "../../../simulator/runs/true-runs.ts";
import type { RunRecord } from "../../../spc/model/journal-entry.ts";
import { convert } from "../../../spc/units/ucum.ts";
import { featureUnits } from "../feature-units.ts";

/** The run model's runs of a stretch as the product would have them: no payloads, no traces, in order of their end. */
export function modelRuns(
  site: Site,
  key: PlantKey,
  faults: readonly Fault[],
  fromMs: number,
  toMs: number,
): RunRecord[] {
  return stationsOfModel(key)
    .flatMap((id) => {
      const station = site.stations.find((one) => one.id === id);
      return station === undefined ? [] : stationRuns(station, key, faults, fromMs, toMs);
    })
    .sort((a, b) => a.run.endMs - b.run.endMs);
}

export function stationsOfModel(key: PlantKey): readonly string[] {
  return [...new Set([...runBooks(plantModel(key, [])).keys(), oven])];
}

export function stationRuns(
  station: Station,
  key: PlantKey,
  faults: readonly Fault[],
  fromMs: number,
  toMs: number,
): RunRecord[] {
  const units = featureUnits(station.plans);
  return recordedRuns(key, station.id, fromMs, toMs, 1, faults).map(
    ({ id, startMs, endMs, part, features }): RunRecord => ({
      run: {
        ...{ id, station: station.id, startMs, endMs, closedBy: "end-condition", segments: [] },
        ...kindOf(id, station.id),
        context: part === null ? {} : { part },
      },
      imported: false,
      features: features.flatMap(({ feature, value, unit }) => {
        const wanted = units.get(feature);
        if (wanted === undefined) return [];
        const own = unit === wanted ? value : convert(value, unit, wanted);
        if (own === undefined) throw new RangeError(`${station.id} ${feature}: ${unit} does not convert to ${wanted}`);
        return [{ feature, version: 1, unit: wanted, value: own }];
      }),
    }),
  );
}

/** A further kind of run at a station is told by its id: `PO-F.ladle:...`. */
function kindOf(id: string, station: string): { readonly kind?: string } {
  const kind = id.startsWith(`${station}.`) ? id.slice(station.length + 1, id.indexOf(":")) : undefined;
  return kind === undefined ? {} : { kind };
}
