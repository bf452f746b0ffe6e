import { columnFrom, constantColumn } from "../../../spc/model/column.ts";
import type { DrawnChart } from "../../../spc/model/drawn-chart.ts";
import type { PatternSignal, SignalColumn } from "../../../spc/rules/signal-column.ts";
import type { StudyResult } from "../../../spc/study/result.ts";

/** A chart made by hand, with limits 8 and 12 around 10 unless said otherwise. */
export function madeChart(values: readonly (number | null)[], over: Partial<DrawnChart> = {}): DrawnChart {
  const n = values.length;
  return {
    kind: "individuals",
    provenance: { estimator: "moving-range", from: 0, to: n, n, k: 3 },
    refusal: null,
    values: columnFrom(values),
    centres: constantColumn(10, n),
    sigmas: constantColumn(2 / 3, n),
    lower: constantColumn(8, n),
    upper: constantColumn(12, n),
    patterns: "all",
    anew: [],
    ...over,
  };
}

export function madeSignals(length: number, at: Readonly<Record<number, readonly PatternSignal[]>> = {}): SignalColumn {
  return { length, any: (place) => at[place] !== undefined, at: (place) => at[place] ?? [] };
}

export function madeResult(over: Partial<StudyResult> = {}): StudyResult {
  const chart = madeChart([9.5, 12.5, null, 10.25]);
  const signals = madeSignals(4, { 1: [{ rule: "beyond-limit", side: "above", members: [1] }] });
  return {
    n: 4,
    form: "individuals",
    advice: null,
    charts: [{ chart, signals }],
    sigmaWithin: 2 / 3,
    sigmaOverall: 0.1 + 0.2,
    diagnostics: {
      lag1: 0.5,
      lag1Band: [-0.3, 0.3],
      ljungBox: { q: 12.5, lags: 2, p: 0.002 },
      andersonDarling: { a2: 0.3, adjusted: 0.31, p: 0.55 },
      overallToWithin: 1.5,
      distinctValues: 3,
    },
    changePoints: [{ index: 2, set: [1, 2, 3] }],
    capability: {
      cp: { refused: "not-stable", why: "1 signal in the span" },
      cpk: { refused: "not-stable", why: "1 signal in the span" },
      pp: { estimate: 1.25, lower: 1.0625, upper: 1.5, confidence: 0.95 },
      ppk: { estimate: 1.125, lower: 1, upper: 1.25, confidence: 0.95 },
      cpm: { refused: "no-target", why: "no target was given" },
    },
    cautions: [{ code: "few-values", text: "4 values only" }],
    ...over,
  };
}
