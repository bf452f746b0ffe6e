import type { Journal } from "../../collector/store/journal.ts";
import { type BaselineRequest, proposeLimits } from "../../spc/charts/propose-limits.ts";
import { writtenSpacing } from "../../spc/charts/written-spacing.ts";
import type { Characteristic } from "../../spc/model/characteristic.ts";
import type { Subgroup } from "../../spc/model/chart.ts";
import type { RunRecord } from "../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../spc/model/limit-set.ts";
import type { Outcome } from "../../spc/model/outcome.ts";
import { chartedValue } from "../../spc/model/plotted-as.ts";
import type { ProposedLimits } from "../../spc/model/proposal.ts";
import { settingOf } from "../../spc/model/run.ts";

export interface BaselineWindow {
  readonly fromMs: number;
  readonly toMs: number;
  /** `recommended`: the chart's own, or overall where its diagnostics ask for that. */
  readonly basis: LimitSet["basis"] | "recommended";
  readonly excluded: Readonly<Record<string, string>>;
}

/** Runs of a station in a window, in time order. */
export type StationRuns = (station: string) => readonly RunRecord[];

/** Reads a station's runs once for all its characteristics, which come one after the other. */
export function stationRuns(journal: Journal, { fromMs, toMs }: BaselineWindow): StationRuns {
  let kept: { readonly station: string; readonly runs: readonly RunRecord[] } | null = null;
  return (station) => {
    if (kept?.station !== station) {
      const entries = journal.read({ kinds: ["run"], station, fromMs, toMs, orderBy: "time" });
      kept = { station, runs: entries.flatMap((entry) => (entry.kind === "run" ? [entry.body] : [])) };
    }
    return kept.runs;
  };
}

/** Limits that the stored runs of a window would give one characteristic, imported runs among them. */
export function baselineProposal(
  runs: StationRuns,
  characteristic: Characteristic,
  window: BaselineWindow,
): Outcome<ProposedLimits> {
  const records = runs(characteristic.station).filter((one) => chartedValue(one, characteristic) !== undefined);
  const subgroups = records.map((record, index) => subgroupOf(record, index, characteristic));
  const request: Omit<BaselineRequest, "basis"> = {
    pair: characteristic.chart,
    subgroup: characteristic.subgroup,
    ewma: characteristic.ewma,
    subgroups,
    everyMs: writtenSpacing(
      subgroups.map(({ atMs }) => atMs),
      characteristic.everyMs,
    ),
    unit: characteristic.unit,
    rules: characteristic.rules,
    excluded: onlyOf(window.excluded, records),
    imported: new Set(records.filter(({ imported }) => imported).map(({ run }) => run.id)),
  };
  if (window.basis !== "recommended") return proposeLimits({ ...request, basis: window.basis });
  const own = proposeLimits({ ...request, basis: "chart" });
  const leans = own.ok && own.value.diagnostics.cautions.includes("overall-basis-recommended");
  return leans ? proposeLimits({ ...request, basis: "overall" }) : own;
}

function subgroupOf(record: RunRecord, index: number, characteristic: Characteristic): Subgroup {
  const { run } = record;
  const value = chartedValue(record, characteristic)?.value ?? null;
  return {
    index,
    atMs: run.endMs,
    runs: [run.id],
    values: value === null ? [] : [value],
    setting: settingOf(run, characteristic),
  };
}

function onlyOf(excluded: Readonly<Record<string, string>>, records: readonly RunRecord[]): Record<string, string> {
  const runs = new Set(records.map(({ run }) => run.id));
  return Object.fromEntries(Object.entries(excluded).filter(([run]) => runs.has(run)));
}
