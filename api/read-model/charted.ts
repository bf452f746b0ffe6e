import type { CharacteristicPlan, Site, Station } from "../../collector/platform/settings/site.ts";
import type { Characteristic } from "../../spc/model/characteristic.ts";
import { runsOfPoint } from "../../spc/model/characteristic.ts";
import type { PointRecord, RunRecord } from "../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../spc/model/limit-set.ts";
import { chartOf } from "../../spc/model/plotted-as.ts";
import { fitsCharts } from "../../spc/monitor/checked-limit-set.ts";
import { type ImportedValues, importedValue, importedValues } from "./imported-points.ts";

/** Newest streamed points of a characteristic that are kept at hand; older ones are read from the journal. */
export const recentPoints = 1_000;

/** All we know of one characteristic. */
export interface Charted {
  readonly characteristic: Characteristic;
  readonly station: Station;
  readonly plan: CharacteristicPlan;
  readonly imported: ImportedValues;
  /** Newest streamed points, oldest first; at most twice `recentPoints`. */
  readonly recent: PointRecord[];
  /** In the order in which they were agreed. */
  readonly limitSets: LimitSet[];
  /** Newest streamed runs that no point holds yet: they wait for their subgroup to be full. */
  waiting: readonly WaitingRun[];
  streamed: number;
  /** Journal place of the newest entry that concerns it. */
  seq: number;
}

export interface WaitingRun {
  readonly run: string;
  readonly atMs: number;
}

export interface ChartedSet {
  readonly all: ReadonlyMap<string, Charted>;
  /** Those that a run gives something to: makes the ones by part that were not there yet. */
  ofRun(record: RunRecord): readonly Charted[];
}

/** Characteristics in the order of the settings; of parts that only runs name, in the order in which they came. */
export function chartedSet(site: Site): ChartedSet {
  const all = new Map<string, Charted>();
  const stations = new Map(site.stations.map((station) => [station.id, station]));
  const made = (station: Station, plan: CharacteristicPlan, part: string | null): Charted => {
    const characteristic = plan.characteristic(part);
    const known = all.get(characteristic.id);
    if (known !== undefined) return known;
    const imported = importedValues(characteristic);
    const base = { imported, recent: [], limitSets: [], waiting: [], streamed: 0, seq: 0 };
    const charted = { characteristic, station, plan, ...base };
    all.set(characteristic.id, charted);
    return charted;
  };
  for (const station of site.stations) {
    for (const plan of station.plans) {
      const parts = plan.by.length > 0 ? plan.parts : [null];
      for (const part of parts) made(station, plan, part);
    }
  }
  return {
    all,
    ofRun: ({ run, features }) => {
      const station = stations.get(run.station);
      if (station === undefined) return [];
      const given = new Set(features.map(({ feature }) => feature));
      return station.plans
        .filter(({ feature }) => given.has(feature))
        .map((plan) => made(station, plan, chartOf(run, plan.by)));
    },
  };
}

export function addRun(charted: readonly Charted[], record: RunRecord, seq: number): void {
  if (!record.imported) {
    for (const one of charted) addWaiting(one, record, seq);
    return;
  }
  for (const one of charted) {
    const value = importedValue(record, one.characteristic);
    if (value === undefined) continue;
    one.imported.add(value);
    one.seq = seq;
  }
}

/** What is in the journal as a run and not yet as part of a point; a point's own runs leave again with it. */
function addWaiting(charted: Charted, { run }: RunRecord, seq: number): void {
  const runs = runsOfPoint(charted.characteristic);
  if (runs === 1) return;
  const one = { run: run.id, atMs: run.endMs };
  charted.waiting = [...charted.waiting, one].slice(-runs);
  charted.seq = seq;
}

export function addPoint(charted: Charted, point: PointRecord, seq: number): void {
  charted.recent.push(point);
  // Cut in blocks, so that a push stays cheap.
  if (charted.recent.length > 2 * recentPoints) charted.recent.splice(0, charted.recent.length - recentPoints);
  if (charted.waiting.length > 0) charted.waiting = charted.waiting.filter(({ atMs }) => atMs > point.atMs);
  charted.streamed = Math.max(charted.streamed, point.subgroup + 1);
  charted.seq = seq;
}

/** The newest set that may rule by now; the one before goes on ruling until then. One of other charts rules nothing. */
export function limitsInForce(charted: Charted, nowMs: number): LimitSet | undefined {
  const begun = charted.limitSets.filter(
    (set) => set.effectiveFromMs <= nowMs && fitsCharts(set, charted.characteristic),
  );
  return begun.reduce<LimitSet | undefined>((best, s) => (best && best.revision > s.revision ? best : s), undefined);
}
