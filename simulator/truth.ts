import { appendFileSync, writeFileSync } from "node:fs";
import { type Fault, faultKinds, faultPlace } from "./faults.ts";
import { firstLaunched, launchPart } from "./launch.ts";
import { clusterName, clusterOfFlask, flaskOfCluster } from "./lineage.ts";
import type { PlantKey } from "./plant-layout.ts";
import { castings } from "./runs/casting.ts";
import type { Model } from "./runs/model.ts";
import type { TrueRun } from "./runs/true-run.ts";
import { dumpOfFlask, runBooks } from "./runs/true-runs.ts";
import { startedBy, startOf } from "./schedule.ts";
import { inspectedLot, inspectionSchedule } from "./stations/inspection.ts";

/** What one injected fault is, and what ought to show it. */
export interface FaultLabel {
  readonly fault_id: string;
  readonly type: string;
  readonly component: string;
  readonly channel_ids: readonly string[];
  readonly t_start: string;
  readonly t_end: string | null;
  /** Its size, and the same between 0 and 1. */
  readonly size: number;
  readonly severity: number;
  readonly shape: string;
  readonly affected_runs: readonly string[];
  readonly affected_scope: string;
  readonly expected_signals: readonly {
    readonly feature: string;
    readonly direction: string;
    readonly min_delta: number | null;
    readonly detectable_by: string;
  }[];
  readonly is_sensor_fault: boolean;
  readonly is_process_fault: boolean;
  readonly expected_defects: readonly { readonly code: string; readonly delta_logit: number }[];
  readonly notes: string;
  readonly seed: number;
}

const dayMs = 86_400_000;
/** A fault without an end has touched these runs at least. */
const openEndMs = dayMs;

export function faultLabel(key: PlantKey, fault: Fault, model: Model): FaultLabel {
  const kind = faultKinds.find(({ name }) => name === fault.name);
  if (kind === undefined) throw new RangeError(`no fault is called ${fault.name}`);
  const { fromMs, toMs, size = 1 } = fault;
  const place = faultPlace(fault);
  const stations = placesOf(place, kind.scope);
  const endMs = Number.isFinite(toMs) ? toMs : fromMs + openEndMs;
  const books = runBooks(model);
  const runs = stations.flatMap((station) => {
    const book = books.get(station);
    return book === undefined ? [] : runsBetween(book, fromMs, endMs).map(({ id }) => id);
  });
  return {
    fault_id: `${fault.name}:${place}:${new Date(fromMs).toISOString()}`,
    type: fault.name,
    component: place,
    channel_ids: place.includes("/") ? [place] : stations.flatMap((s) => channelsAt(s, kind.channels)),
    t_start: new Date(fromMs).toISOString(),
    t_end: Number.isFinite(toMs) ? new Date(toMs).toISOString() : null,
    size,
    severity: Math.min(1, size / 2),
    shape: kind.shape,
    affected_runs: runs,
    affected_scope: kind.scope,
    expected_signals: kind.signals.map(({ feature, direction, minDelta, detectableBy }) => ({
      feature,
      direction,
      min_delta: minDelta,
      detectable_by: detectableBy,
    })),
    is_sensor_fault: kind.sensor,
    is_process_fault: !kind.sensor,
    expected_defects: kind.defects.map(({ defect, deltaLogit }) => ({ code: defect, delta_logit: deltaLogit })),
    notes: kind.says,
    seed: key.seed,
  };
}

function placesOf(place: string, scope: string): readonly string[] {
  if (place === "BO-1") return ["HD-1", "PR-01", "PR-02", "PR-03", "PR-04"];
  if (scope === "group" && place === "SC-1") return ["SC-1", "CT-A1", "CT-A2", "CT-F1", "CT-F2"];
  return [place.split("/")[0] as string];
}

/** Roles that a kind of station does not have, where a fault touches stations of several kinds. */
const absent: Readonly<Record<string, readonly string[]>> = {
  HD: ["header", "chamber-t", "tool-t", "cooling-water-t"],
  CT: ["sand-out-t", "cooling-water-t"],
  SC: ["sand-t"],
  WX: ["sand-t", "sand-out-t"],
  AO: ["return-rh", "return-t"],
  DR: ["rh"],
  CO: ["casting-t"],
  RD: ["coat"],
  PX: ["weight-1", "weight-2"],
};

function channelsAt(station: string, roles: readonly string[]): string[] {
  const missing = absent[station.slice(0, 2)] ?? [];
  return roles.filter((role) => !missing.includes(role)).map((role) => `${station}/${role}`);
}

type Book = ReturnType<typeof runBooks> extends ReadonlyMap<string, infer B> ? B : never;

function runsBetween(book: Book, fromMs: number, toMs: number): TrueRun[] {
  const runs: TrueRun[] = [];
  // The runs of a cycle may lie some hours behind its start: flasks cool.
  const reachMs = 4 * 3_600_000;
  let number = startedBy(book.schedule, fromMs - reachMs) - 1;
  for (; startOf(book.schedule, number) < toMs; number += 1) {
    runs.push(...book.of(number).filter(({ startMs, endMs }) => startMs < toMs && endMs > fromMs));
  }
  return runs;
}

/** Labels of the faults, as lines of JSON, and what was launched. */
export function* faultLines(key: PlantKey, faults: readonly Fault[], model: Model): Generator<string> {
  const first = firstLaunched(key);
  if (first !== null) {
    const cluster = clusterName(clusterOfFlask({ aluminium: false, ordinal: first }));
    yield JSON.stringify({ kind: "launch", part: launchPart, first_cluster: cluster, beside: "ladles lined anew" });
  }
  for (const fault of faults) yield JSON.stringify({ kind: "fault", ...faultLabel(key, fault, model) });
}

/** What truly was in fromMs <= t < toMs: runs that ended then with their origins, and castings that were looked at. */
export function* trueLines(model: Model, fromMs: number, toMs: number): Generator<string> {
  for (const [, book] of runBooks(model)) {
    for (const run of runsBetween(book, fromMs - 1, toMs)) {
      if (run.endMs <= fromMs || run.endMs > toMs) continue;
      yield runLine(run);
    }
  }
  yield* castingLines(model, fromMs, toMs);
}

function runLine({ id, station, startMs, endMs, part, features, from }: TrueRun): string {
  const values = Object.entries(features).map(([feature, { value, unit }]) => [feature, { value, unit }]);
  return JSON.stringify({
    kind: "run",
    run: id,
    station,
    start: new Date(startMs).toISOString(),
    end: new Date(endMs).toISOString(),
    part,
    features: Object.fromEntries(values),
    from,
  });
}

function* castingLines(model: Model, fromMs: number, toMs: number): Generator<string> {
  const { key, faults } = model;
  const schedule = inspectionSchedule(key);
  const cast = castings(model);
  let number = startedBy(schedule, fromMs) - 1;
  for (; startOf(schedule, number) < toMs; number += 1) {
    const startMs = startOf(schedule, number);
    if (startMs < fromMs) continue;
    const { part, inspector, inspected, found } = inspectedLot(key, cast, number, startMs, faults);
    yield JSON.stringify({
      kind: "lot",
      start: new Date(startMs).toISOString(),
      part,
      inspector,
      inspected,
      found: found.length,
    });
    for (const { casting, cluster, defect, coded } of found) {
      const { suspects } = cast(cluster);
      const { aluminium, ordinal } = flaskOfCluster(cluster);
      const run = dumpOfFlask(model, aluminium, ordinal);
      yield JSON.stringify({
        kind: "casting",
        casting,
        cluster: clusterName(cluster),
        part,
        defect,
        coded,
        run,
        suspects,
      });
    }
  }
}

/** A file of the truth that grows as the plant goes on. Nothing of the product is ever told where it lies. */
export interface TruthFile {
  /** Everything before `tMs` has been sent. */
  reached(tMs: number): void;
  /** The plant stops there: what is left of an hour is written too. */
  finish(tMs: number): void;
}

const hourMs = 3_600_000;

export function truthFile(
  file: string,
  key: PlantKey,
  faults: readonly Fault[],
  model: Model,
  fromMs: number,
): TruthFile {
  writeFileSync(file, [...faultLines(key, faults, model)].map((line) => `${line}\n`).join(""));
  let writtenMs = fromMs;
  const write = (toMs: number): void => {
    appendFileSync(file, [...trueLines(model, writtenMs, toMs)].map((line) => `${line}\n`).join(""));
    writtenMs = toMs;
  };
  return {
    reached: (tMs) => {
      while (tMs - writtenMs >= hourMs) write(writtenMs + hourMs);
    },
    finish: (tMs) => {
      if (tMs > writtenMs) write(tMs);
    },
  };
}
