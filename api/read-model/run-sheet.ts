import { setImmediate } from "node:timers/promises";
import type { Site, Station } from "../../collector/platform/settings/site.ts";
import type { Journal } from "../../collector/store/journal.ts";
import type { SampleReader, SampleStore } from "../../collector/store/sample-store.ts";
import type { RunRecord } from "../../spc/model/journal-entry.ts";
import type { WireRunSheet } from "../contract/wire.ts";
import { type Traced, type Traces, traceColumns, traced, underlayColumns } from "./trace.ts";
import { instant } from "./wire-form.ts";

/** How many runs before this one stand grey under its trace. */
const underlayRuns = 24;
/** How far to look for the next run of the same kind: a ladle lies among its pours. */
const neighbourhood = 40;
/** Of runs of other parts, how many are passed over in search of those. */
const lookedThrough = 400;

export interface RunSheetParts {
  readonly site: Site;
  readonly journal: Journal;
  readonly samples: SampleReader;
  readonly traces: Traces;
}

/** The run's traces over those of the runs before it. Lets other work pass between reads of the store. */
export async function runTraces(parts: RunSheetParts, record: RunRecord): Promise<WireRunSheet["traces"]> {
  const station = parts.site.stations.find(({ id }) => id === record.run.station);
  if (station === undefined || record.imported || record.run.closedBy === "by-hand") return [];
  const before = runsBefore(parts.journal, record, chartedByPart(station, record.run));
  const answer: WireRunSheet["traces"] = [];
  for (const one of Object.values(station.series).flatMap(traced)) {
    answer.push({ ...(await traceOf(parts.traces, record, one)), before: await underlays(parts.traces, before, one) });
  }
  return answer;
}

async function traceOf(
  traces: Traces,
  { run }: RunRecord,
  one: Traced,
): Promise<Omit<WireRunSheet["traces"][number], "before">> {
  const { tMs, value, thinned } = await traces.of(run, one, traceColumns);
  const { quantity, unit, kind } = one.of;
  const everyMs = one.of.everyInRunMs ?? one.of.everyMs;
  const { id: series, role, reference } = one;
  return { series, role, quantity, reference, unit, kind, everyMs, tMs, value, thinned };
}

async function underlays(
  traces: Traces,
  before: readonly RunRecord[],
  one: Traced,
): Promise<WireRunSheet["traces"][number]["before"]> {
  // Steps and doors under steps and doors tell nothing.
  if (one.of.kind === "event") return [];
  const answer: WireRunSheet["traces"][number]["before"] = [];
  for (const { run } of before) {
    const { tMs, value } = await traces.of(run, one, underlayColumns);
    if (tMs.length > 0) answer.push({ run: run.id, tMs, value });
    await setImmediate();
  }
  return answer;
}

function chartedByPart(station: Station, { kind }: RunRecord["run"]): boolean {
  return station.plans.some(({ runKind, by }) => runKind === (kind ?? null) && by.includes("part"));
}

/** Streamed runs of the station before this one, newest first; of its part where charts are by part. */
function runsBefore(journal: Journal, { run }: RunRecord, byPart: boolean): RunRecord[] {
  const entries = journal.read({
    kinds: ["run"],
    station: run.station,
    toMs: run.endMs,
    orderBy: "time",
    newestFirst: true,
    limit: byPart ? lookedThrough : underlayRuns * 2,
  });
  return entries
    .flatMap((entry) => (entry.kind === "run" ? [entry.body] : []))
    .filter((one) => !one.imported && one.run.closedBy !== "by-hand" && one.run.startMs < run.startMs)
    .filter((one) => one.run.kind === run.kind)
    .filter((one) => !byPart || one.run.context["part"] === run.context["part"])
    .slice(0, underlayRuns);
}

/** Ids of the runs on either side of this one, imported ones among them. */
export function neighbours(journal: Journal, { run }: RunRecord): { previous: string | null; next: string | null } {
  const ask = { kinds: ["run"], station: run.station, orderBy: "time", limit: neighbourhood } as const;
  const earlier = journal.read({ ...ask, toMs: run.endMs + 1, newestFirst: true });
  const later = journal.read({ ...ask, fromMs: run.endMs });
  const other = (entries: typeof later): string | null =>
    entries.find((e) => e.kind === "run" && e.body.run.id !== run.id && e.body.run.kind === run.kind)?.subject ?? null;
  return { previous: other(earlier), next: other(later) };
}

/** The raw waveforms kept of a run, in their own unit. */
export function runSnapshots(parts: RunSheetParts, { run }: RunRecord): WireRunSheet["snapshots"] {
  const station = parts.site.stations.find(({ id }) => id === run.station);
  return Object.values(station?.series ?? {})
    .filter(({ kind }) => kind === "waveform")
    .flatMap(({ id, unit }) =>
      parts.samples
        .snapshots({ series: id, fromMs: run.startMs, toMs: run.endMs + 1 })
        .map((one) => ({ series: id, at: instant(one.tMs), rateHz: one.rateHz, unit, value: waveform(one) })),
    );
}

function waveform({ samples, scale }: ReturnType<SampleStore["snapshots"]>[number]): number[] {
  const view = new DataView(samples.buffer, samples.byteOffset, samples.byteLength);
  return Array.from({ length: Math.floor(samples.byteLength / 2) }, (_, i) => view.getInt16(2 * i, true) * scale);
}

/** Messages of the station's source that never came between two readings, the later of them after the run began. */
export function runMissing(parts: RunSheetParts, { run, imported }: RunRecord): WireRunSheet["missing"] {
  const source = parts.site.stations.find(({ id }) => id === run.station)?.source;
  if (source === undefined || imported) return [];
  return parts.samples.missingStretches().flatMap(({ messages, afterMs, beforeMs, ...one }) => {
    if (one.source !== source || afterMs === null || beforeMs === null) return [];
    if (afterMs >= run.endMs || beforeMs <= run.startMs) return [];
    return [{ messages, from: instant(afterMs), to: instant(beforeMs) }];
  });
}
