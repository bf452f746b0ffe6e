import type { SubgroupPlace } from "../../spc/charts/live-chart.ts";
import { chartPairOf } from "../../spc/charts/pair.ts";
import { writtenSpacing } from "../../spc/charts/written-spacing.ts";
import type { Characteristic, ChartedAs } from "../../spc/model/characteristic.ts";
import { runsOfPoint, usualEwma } from "../../spc/model/characteristic.ts";
import { firstPlace } from "../../spc/model/first-place.ts";
import type { FeatureValue, PointRecord, RunRecord } from "../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../spc/model/limit-set.ts";
import type { Refusal } from "../../spc/model/outcome.ts";
import { type ChartOfRuns, chartedValue } from "../../spc/model/plotted-as.ts";
import { settingOf } from "../../spc/model/run.ts";
import { advance } from "../../spc/model/stage.ts";
import { subgrouper } from "../../spc/monitor/subgrouper.ts";

/** One run of a site's own spreadsheets, as one characteristic's chart shows it. */
export interface ImportedValue {
  readonly run: string;
  readonly atMs: number;
  readonly feature: FeatureValue;
  /** Part and tool: no subgroup reaches across a change. */
  readonly setting: string;
}

/** The runs of one imported point, oldest first, called after the last of them. */
export interface ImportedPoint {
  readonly run: string;
  readonly atMs: number;
  readonly values: readonly ImportedValue[];
}

/** Imported points of one characteristic by the end of their runs: however many, in whatever order they came in. */
export interface ImportedValues {
  add(value: ImportedValue): void;
  /** Points; where charts are of subgroups, several values make one. */
  readonly count: number;
  /** Points in [from, to) of the order by time. */
  slice(from: number, to: number): readonly ImportedPoint[];
  /** Place of the first point that comes after this one. */
  placeAfter(atMs: number, run: string): number;
  /** Place of the point that a run belongs to; -1 for none. */
  placeOf(run: string): number;
  /** How far apart neighbouring runs usually lie: at least the expected spacing. */
  spacingMs(everyMs: number): number;
}

/** The last subgroup counts although runs may be lacking: nothing more is written into a past. */
export function importedValues(as: ChartedAs & Pick<Characteristic, "everyMs">): ImportedValues {
  const values: ImportedValue[] = [];
  const runs = runsOfPoint(as);
  let points: readonly ImportedPoint[] | null = null;
  let spacing: { readonly count: number; readonly ms: number } | null = null;
  const spacingMs = (everyMs: number): number => {
    if (spacing?.count !== values.length) {
      const times = values.map(({ atMs }) => atMs).sort((a, b) => a - b);
      spacing = { count: values.length, ms: writtenSpacing(times, everyMs) };
    }
    return spacing.ms;
  };
  const inOrder = (): readonly ImportedPoint[] => {
    if (points !== null) return points;
    values.sort((a, b) => compare(a, b.atMs, b.run));
    points = runs === 1 ? values.map(single) : grouped(values, runs, spacingMs(as.everyMs));
    return points;
  };
  return {
    add: (value) => {
      values.push(value);
      points = null;
    },
    get count() {
      return runs === 1 ? values.length : inOrder().length;
    },
    slice: (from, to) => inOrder().slice(Math.max(0, from), Math.max(0, to)),
    placeAfter: (atMs, run) => {
      const ordered = inOrder();
      return firstPlace(0, ordered.length, (place) => compare(ordered[place] as ImportedPoint, atMs, run) <= 0);
    },
    placeOf: (run) => inOrder().findIndex((point) => point.values.some((value) => value.run === run)),
    spacingMs,
  };
}

function single(value: ImportedValue): ImportedPoint {
  return { run: value.run, atMs: value.atMs, values: [value] };
}

function grouped(values: readonly ImportedValue[], runs: number, everyMs: number): readonly ImportedPoint[] {
  const known = new Map(values.map((value) => [value.run, value]));
  const inputs = values.map(({ run, atMs, feature, setting }) => ({ run, atMs, value: feature.value, setting }));
  const { state, out } = advance(subgrouper(runs, everyMs), inputs);
  return [...out.map(({ members }) => members), ...(state.length === 0 ? [] : [state])].map((members) => {
    const { run, atMs } = members.at(-1)!;
    return { run, atMs, values: members.map((one) => known.get(one.run)!) };
  });
}

function compare(value: { readonly atMs: number; readonly run: string }, atMs: number, run: string): number {
  if (value.atMs !== atMs) return value.atMs - atMs;
  return value.run < run ? -1 : value.run > run ? 1 : 0;
}

/** What of a run concerns one feature; undefined when it was not imported with the run. */
export function importedValue(
  record: RunRecord,
  chart: ChartOfRuns & Pick<Characteristic, "subgroup" | "anewWith">,
): ImportedValue | undefined {
  const { run } = record;
  const feature = chartedValue(record, chart);
  return feature && { run: run.id, atMs: run.endMs, feature, setting: settingOf(run, chart) };
}

/**
 * Points [from, to) of the imported ones, drawn against the limits in force. They are display: they carry no signal
 * and enter no rule. The newest has subgroup -1.
 */
export function importedPoints(
  characteristic: ChartedAs & Pick<Characteristic, "id" | "everyMs">,
  values: ImportedValues,
  limits: LimitSet | undefined,
  from: number,
  to: number,
): PointRecord[] {
  const start = Math.max(0, from);
  const first = Math.max(0, start - lookBack(characteristic));
  const asked = start < to ? values.slice(first, to) : [];
  const pair = chartPairOf(characteristic);
  const places = asked.map((one, i): SubgroupPlace => {
    const there = one.values.flatMap(({ feature: { value } }) => (value === null ? [] : [value]));
    const subgroup = first + i - values.count;
    return { subgroup, atMs: one.atMs, values: there.length < pair.least ? [] : there };
  });
  const spacing = { everyMs: values.spacingMs(characteristic.everyMs) * runsOfPoint(characteristic) };
  const location = advance(pair.location(limits ?? null, spacing), places).out;
  const spread = advance(pair.spread(limits ?? null, spacing), places).out;
  const points = asked.map((one, i): PointRecord => {
    const { subgroup, atMs } = places[i]!;
    const refusal = places[i]!.values.length > 0 ? undefined : refusalOf(one, pair.least);
    return {
      characteristic: characteristic.id,
      run: one.run,
      subgroup,
      atMs,
      imported: true,
      limitSet: limits?.id ?? null,
      location: location[i]!.point,
      spread: spread[i]!.point,
      ...(refusal === undefined ? {} : { refusal }),
      ...(characteristic.chart === "individuals" ? {} : { members: one.values.map(memberOf) }),
      signals: [],
    };
  });
  return points.slice(start - first);
}

/** A moving range looks back one point; an EWMA at all, of which those before these weigh less than a last digit. */
function lookBack({ chart, ewma }: ChartedAs): number {
  if (chart !== "ewma") return 1;
  const { lambda } = ewma ?? usualEwma;
  // Twice as many, for places without a value weigh nothing.
  return lambda === 1 ? 1 : Math.ceil((2 * 40) / -Math.log1p(-lambda));
}

function memberOf({ run, atMs, feature: { value } }: ImportedValue): {
  run: string;
  atMs: number;
  value: number | null;
} {
  return { run, atMs, value };
}

function refusalOf({ values }: ImportedPoint, least: number): Refusal | undefined {
  if (values.length === 1 && least === 1) return values[0]!.feature.refusal;
  const has = values.filter(({ feature }) => feature.value !== null).length;
  return {
    code: "too-few",
    detail: `${has} of ${values.length} runs gave a value, and a subgroup needs ${least}`,
    needs: least,
    has,
  };
}
