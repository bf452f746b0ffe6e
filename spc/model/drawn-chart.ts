import type { Column } from "./column.ts";
import type { Refusal } from "./outcome.ts";
import type { Verdict } from "./point.ts";
import { judge } from "./point.ts";

/** What limits rest on. */
export interface Provenance {
  /** How sigma was had: `moving-range`, `mean-range`, `mean-s`, `pooled-s`, `overall`, `given`, ... */
  readonly estimator: string;
  /** Baseline, half-open, in plotted places. */
  readonly from: number;
  readonly to: number;
  /** Plotted points of the baseline that were used. */
  readonly n: number;
  /** Half-width in sigma of the plotted statistic; for `exact` limits the one with the same chance in a normal. */
  readonly k: number;
}

/**
 * One chart over a whole series, drawn: every plotted statistic beside its own lines. Where the lines are refused, the
 * points are there and judged by nothing.
 */
export interface DrawnChart {
  /** `individuals`, `average`, `range`, `standard-deviation`, `moving-range`, `ewma`, `cusum-upper`, ... */
  readonly kind: string;
  readonly provenance: Provenance;
  readonly refusal: Refusal | null;
  /** The statistic; none where it could not be had. */
  readonly values: Column;
  readonly centres: Column;
  /** Standard deviation of the plotted statistic, from which the zones of the rules are counted. */
  readonly sigmas: Column;
  /** None on a side that has no limit. */
  readonly lower: Column;
  readonly upper: Column;
  /** `all`: a location chart of independent points; `first-four`: attributes; `limit`: its points overlap or are skewed. */
  readonly patterns: "all" | "first-four" | "limit";
  /** Places before which memory of earlier points ends, ascending. */
  readonly anew: readonly number[];
}

/** The charts of one study, location first, then spread. */
export interface DrawnCharts {
  readonly charts: readonly DrawnChart[];
  /** Spread of single values within subgroups, by the location chart's own estimator; null for counts or when refused. */
  readonly sigmaWithin: number | null;
  /** Degrees of freedom of `sigmaWithin`, not necessarily whole. */
  readonly dfWithin: number | null;
  /** What was seen on the way that the reader must know. */
  readonly cautions: readonly Caution[];
}

/** Stands beside a number and does not withhold it. */
export interface Caution {
  /** Kebab-case, listed in DEVELOPERS.md. */
  readonly code: string;
  /** Plain words without a full stop. */
  readonly text: string;
}

/** What a chart says of one place: judged by the limits there are, and by nothing when there are none. */
export function verdictAt(chart: DrawnChart, place: number): Verdict {
  const value = chart.values.at(place);
  const lower = chart.lower.at(place);
  const upper = chart.upper.at(place);
  if (value === null || (lower === null && upper === null)) return "not-evaluable";
  return judge(value, lower ?? Math.min(value, upper!), upper ?? Math.max(value, lower!));
}

/** Several parts may see the same; the first says it. */
export function eachOnce(cautions: readonly Caution[]): readonly Caution[] {
  return cautions.filter(({ code }, i) => cautions.findIndex((one) => one.code === code) === i);
}
