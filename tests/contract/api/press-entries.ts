import { limitsEntry as entryOfLimits, pointEntry, runEntry, signalEntry } from "../../../collector/store/entries.ts";
import type { JournalEntry, PointRecord, RunRecord } from "../../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../../spc/model/limit-set.ts";
import { judge } from "../../../spc/model/point.ts";
import { runId } from "../../../spc/model/run.ts";
import type { Signal } from "../../../spc/model/signal.ts";
import { pressLimits } from "../../press-limits.ts";

/** Journal entries of a press, as the collector writes them, for a chart with its centre at 0.9 bar and sigma 0.01. */

const station = "PR-01";
export const plateau = "PR-01:mold.plateau";
export const startMs = Date.UTC(2026, 10, 25, 8, 0, 0);
const cycleMs = 6 * 60_000;
const shotMs = 100_000;

const limitSet: LimitSet = pressLimits(plateau, {
  baseline: { fromMs: 0, toMs: startMs - 1, n: 60, excluded: {}, imported: 60 },
  effectiveFromMs: startMs - 1,
  frozenAtMs: startMs - 1,
});

export function limitsEntry(set: LimitSet = limitSet): JournalEntry {
  return entryOfLimits(station, set);
}

export function runAt(index: number, value: number, imported = false): RunRecord {
  const start = startMs + index * cycleMs;
  const run = {
    id: runId(station, start),
    station,
    startMs: start,
    endMs: start + shotMs,
    closedBy: imported ? ("imported" as const) : ("end-condition" as const),
    segments: imported ? [] : [{ name: "autoclave", fromMs: start + 20_000, toMs: start + 60_000 }],
    context: { part: "OFW-2107" },
  };
  return { run, imported, features: [{ feature: "mold.plateau", version: 1, unit: "bar", value }] };
}

export function importedEntry(index: number, value: number): JournalEntry {
  return runEntry(runAt(index, value, true));
}

/** Run, point and, where the value lies beyond a limit, signal of the shot at this place; `flag` names its flag. */
export function shotEntries(index: number, value: number, flag = flagId(index)): JournalEntry[] {
  const record = runAt(index, value);
  const { centre, lower, upper, sigma } = limitSet.location;
  const verdict = judge(value, lower, upper);
  const side = verdict === "above" || verdict === "below" ? verdict : null;
  const signal = side === null ? null : signalAt(record, value, side, (value - centre) / sigma, flag);
  const place = { subgroup: index, value, centre, lower, upper };
  const point: PointRecord = {
    characteristic: plateau,
    run: record.run.id,
    subgroup: index,
    atMs: record.run.endMs,
    imported: false,
    limitSet: limitSet.id,
    location: { ...place, verdict },
    spread: { subgroup: index, value: null, centre: 0.0113, lower: 0, upper: 0.0369, verdict: "not-evaluable" },
    signals: signal === null ? [] : [signal.id],
  };
  const found = signal === null ? [] : [signalEntry(signal, record.run.endMs + 6_000)];
  return [runEntry(record), pointEntry(station, point), ...found];
}

/** Id of the flag that a signal of this shot opens. */
export function flagId(index: number): string {
  const { id } = runAt(index, 0).run;
  return `${plateau}:${id.slice(id.indexOf(":") + 1)}`;
}

function signalAt({ run }: RunRecord, value: number, side: "above" | "below", z: number, flag: string): Signal {
  return {
    id: `${limitSet.id}/${run.id}/location/beyond-limit/${side}`,
    characteristic: plateau,
    station,
    run: run.id,
    rule: "beyond-limit",
    side,
    on: "location",
    limitSet: limitSet.id,
    members: [run.id],
    value,
    line: side === "above" ? limitSet.location.upper : limitSet.location.lower,
    z,
    atMs: run.endMs,
    flag,
    label: "look",
    doFirst: "Sensor right? Then the header and the other presses; then trap, valve.",
    says: side === "below" ? "steam plateau low" : "steam plateau high",
  };
}
