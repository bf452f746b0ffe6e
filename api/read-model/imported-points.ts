import { chartPairs } from "../../spc/charts/pair.ts";
import { writtenSpacing } from "../../spc/charts/written-spacing.ts";
import type { Characteristic } from "../../spc/model/characteristic.ts";
import type { FeatureValue, PointRecord, RunRecord } from "../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../spc/model/limit-set.ts";
import type { ChartPoint, Plotted } from "../../spc/model/point.ts";
import { advance } from "../../spc/model/stage.ts";

/** One run of a site's own spreadsheets, as one characteristic's chart shows it. */
export interface ImportedValue {
  readonly run: string;
  readonly atMs: number;
  readonly feature: FeatureValue;
}

/** Imported values of one characteristic by the end of their runs: however many, in whatever order they came in. */
export interface ImportedValues {
  add(value: ImportedValue): void;
  readonly count: number;
  /** Values in [from, to) of the order by time. */
  slice(from: number, to: number): readonly ImportedValue[];
  /** Place of the first value that comes after this one. */
  placeAfter(atMs: number, run: string): number;
  /** How far apart neighbours usually lie: at least the expected spacing. */
  spacingMs(everyMs: number): number;
}

export function importedValues(): ImportedValues {
  const values: ImportedValue[] = [];
  let sorted = true;
  let spacing: { readonly count: number; readonly ms: number } | null = null;
  const inOrder = (): readonly ImportedValue[] => {
    if (!sorted) values.sort((a, b) => compare(a, b.atMs, b.run));
    sorted = true;
    return values;
  };
  return {
    add: (value) => {
      const last = values.at(-1);
      if (last !== undefined && compare(last, value.atMs, value.run) > 0) sorted = false;
      values.push(value);
    },
    get count() {
      return values.length;
    },
    slice: (from, to) => inOrder().slice(Math.max(0, from), Math.max(0, to)),
    placeAfter: (atMs, run) => {
      const ordered = inOrder();
      let low = 0;
      let high = ordered.length;
      while (low < high) {
        const middle = (low + high) >> 1;
        if (compare(ordered[middle] as ImportedValue, atMs, run) > 0) high = middle;
        else low = middle + 1;
      }
      return low;
    },
    spacingMs: (everyMs) => {
      if (spacing?.count !== values.length) {
        const times = inOrder().map(({ atMs }) => atMs);
        spacing = { count: values.length, ms: writtenSpacing(times, everyMs) };
      }
      return spacing.ms;
    },
  };
}

function compare(value: ImportedValue, atMs: number, run: string): number {
  if (value.atMs !== atMs) return value.atMs - atMs;
  return value.run < run ? -1 : value.run > run ? 1 : 0;
}

/** What of a run concerns one feature; undefined when it was not imported with the run. */
export function importedValue({ run, features }: RunRecord, feature: string): ImportedValue | undefined {
  const found = features.find((one) => one.feature === feature);
  return found === undefined ? undefined : { run: run.id, atMs: run.endMs, feature: found };
}

/**
 * Points [from, to) of the imported ones, drawn against the limits in force. They are display: they carry no signal
 * and enter no rule. The newest has subgroup -1.
 */
export function importedPoints(
  characteristic: Pick<Characteristic, "id" | "chart" | "everyMs">,
  values: ImportedValues,
  limits: LimitSet | undefined,
  from: number,
  to: number,
): PointRecord[] {
  const start = Math.max(0, from);
  // One more before the first, because a moving range looks back one point.
  const first = Math.max(0, start - 1);
  const asked = values.slice(first, to);
  const plotted = asked.map((one, i): Plotted => {
    const { value, refusal } = one.feature;
    const subgroup = first + i - values.count;
    return { subgroup, atMs: one.atMs, value, ...(refusal === undefined ? {} : { missing: refusal }) };
  });
  const pair = chartPairs[characteristic.chart];
  const spacing = { everyMs: values.spacingMs(characteristic.everyMs) };
  const location = advance(pair.location.monitor(limits?.location ?? null, spacing), plotted).out;
  const spread = advance(pair.spread.monitor(limits?.spread ?? null, spacing), plotted).out;
  const points = asked.map((one, i): PointRecord => {
    const { subgroup, atMs, missing } = plotted[i] as Plotted;
    return {
      characteristic: characteristic.id,
      run: one.run,
      subgroup,
      atMs,
      imported: true,
      limitSet: limits?.id ?? null,
      location: location[i] as ChartPoint,
      spread: spread[i] as ChartPoint,
      ...(missing === undefined ? {} : { refusal: missing }),
      signals: [],
    };
  });
  return points.slice(start - first);
}
