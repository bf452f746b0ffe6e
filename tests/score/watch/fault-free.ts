import type { Site, Station } from "../../../collector/platform/settings/site.ts";
import type { PlantKey } from "../../../simulator/plant-layout.ts";
import type { RunRecord } from "../../../spc/model/journal-entry.ts";
import { chartedValue, chartOf } from "../../../spc/model/plotted-as.ts";
import { type LawSums, lawSums } from "../compare/process-laws.ts";
import { stationRuns, stationsOfModel } from "./model-runs.ts";

const dayMs = 86_400_000;
/** So many runs of a station, or so many days of it, whichever is less. */
const mostRuns = 800;
const mostDays = 45;
/** Its shares of scrap are of castings weeks old: no fault of a score shows there, and its chance is no normal's. */
const inspection = "IN-1";

/** True mean of each characteristic of one plant, and what its law's sums are: from days that no score looks at. */
export interface FaultFree {
  readonly means: ReadonlyMap<string, number>;
  readonly series: ReadonlyMap<string, readonly number[]>;
  readonly sums: ReadonlyMap<string, readonly LawSums[]>;
}

/** Stations of a kind share a law; where they stand is each one's own. */
export function lawKey(station: Station, feature: string, part: string | null): string {
  return [station.kind, feature, ...(part === null ? [] : [part])].join(":");
}

export function faultFree(site: Site, key: PlantKey, fromMs: number): FaultFree {
  const means = new Map<string, number>();
  const series = new Map<string, readonly number[]>();
  const sums = new Map<string, LawSums[]>();
  for (const id of stationsOfModel(key)) {
    const station = site.stations.find((one) => one.id === id);
    if (station === undefined || id === inspection) continue;
    const probe = stationRuns(station, key, [], fromMs, fromMs + 2 * dayMs).length;
    const days = Math.min(mostDays, probe === 0 ? mostDays : (2 * mostRuns) / probe);
    const runs = stationRuns(station, key, [], fromMs, fromMs + days * dayMs);
    for (const [characteristic, { law, values, step, days: times }] of seriesOf(station, runs)) {
      if (values.length < 20) continue;
      series.set(characteristic, values);
      means.set(characteristic, values.reduce((sum, value) => sum + value, 0) / values.length);
      sums.set(law, [...(sums.get(law) ?? []), lawSums(values, step, times)]);
    }
  }
  return { means, series, sums };
}

interface Series {
  readonly law: string;
  readonly values: number[];
  readonly days: number[];
  /** Steps that the feature comes in: where all its values stand on a grid. */
  readonly step: number;
}

function seriesOf(station: Station, runs: readonly RunRecord[]): ReadonlyMap<string, Series> {
  const found = new Map<string, Series>();
  for (const record of runs) {
    for (const plan of station.plans) {
      if (plan.runKind !== (record.run.kind ?? null)) continue;
      const part = chartOf(record.run, plan.by);
      const one = plan.characteristic(part);
      const value = chartedValue(record, one)?.value;
      if (value === undefined || value === null) continue;
      const series = found.get(one.id) ?? { law: lawKey(station, plan.feature, part), values: [], days: [], step: 0 };
      series.values.push(value);
      series.days.push(record.run.endMs / dayMs);
      found.set(one.id, series);
    }
  }
  return new Map([...found].map(([id, series]) => [id, { ...series, step: gridOf(series.values) }]));
}

/** The smallest difference between distinct values, where few values are distinct; else 0. */
function gridOf(values: readonly number[]): number {
  const distinct = [...new Set(values)].sort((a, b) => a - b);
  if (distinct.length > values.length / 3) return 0;
  return distinct
    .slice(1)
    .reduce((least, value, at) => Math.min(least, value - distinct[at]!), Number.POSITIVE_INFINITY);
}
