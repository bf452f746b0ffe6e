import type { ChartDesign } from "../model/chart-design.ts";
import type { Column } from "../model/column.ts";
import { columnOf, constantColumn } from "../model/column.ts";
import type { DrawnChart, DrawnCharts, Provenance } from "../model/drawn-chart.ts";
import type { Span } from "../model/grouped.ts";
import type { Outcome, Refusal } from "../model/outcome.ts";
import type { SubgroupSizes } from "../sigma/subgroup-moments.ts";
import { subgroupSizes } from "../sigma/subgroup-moments.ts";

/** A statistic over a whole series before it has lines. */
export interface PlottedSeries {
  readonly kind: string;
  readonly values: Column;
  readonly patterns: DrawnChart["patterns"];
  readonly anew: readonly number[];
}

/** A line: one number for all places, one for each (NaN for none), or none at all. */
export type Line = number | null | Float64Array;

/** Lines of one chart; `sigma` is that of the plotted statistic. */
export interface Lines {
  readonly centre: Line;
  readonly sigma: Line;
  readonly lower: Line;
  readonly upper: Line;
}

/**
 * Series of a statistic: what is plotted, before anything is said of it.
 *
 * @shape   the chart's kind, one number a place (NaN for none), which rules may run, where memory ends
 * @unit    that of the statistic
 * @source  derived here
 * @checked tests/unit/spc/drawn-variables/lines.test.ts
 */
export function seriesOf(
  kind: string,
  points: Float64Array,
  patterns: DrawnChart["patterns"],
  anew: readonly number[],
): PlottedSeries {
  return { kind, values: columnOf(points), patterns, anew };
}

/**
 * Lines to both sides of a centre: k sigma away, not below what the statistic can be.
 *
 * @shape   centre and sigma of the plotted statistic, one for all places or one for each; the least that can be
 * @unit    that of the statistic
 * @cost    O(1), or O(m) where a line moves
 * @source  Shewhart 1931 (from memory)
 * @checked tests/unit/spc/drawn-variables/lines.test.ts
 */
export function evenLines(
  centre: number | Float64Array,
  sigma: number | Float64Array,
  k: number,
  least: number = Number.NEGATIVE_INFINITY,
): Lines {
  return {
    centre,
    sigma,
    lower: combined(centre, sigma, (c, s) => Math.max(least, c - k * s)),
    upper: combined(centre, sigma, (c, s) => c + k * s),
  };
}

/**
 * Line by subgroup size: what depends on a subgroup's size alone, at every place.
 *
 * @shape   starts of all subgroups, or their sizes where those are known; a number for each size from `least` up. One
 *          number where all subgroups that are not empty have one size, else one a place, none where the subgroup is
 *          smaller than `least`
 * @unit    that of the line
 * @cost    O(m); one call a size
 * @source  derived here
 * @checked tests/unit/spc/drawn-variables/lines.test.ts
 */
export function lineBySize(
  from: Uint32Array | SubgroupSizes,
  least: number,
  of: (n: number) => number,
): number | Float64Array {
  const { starts, smallest, largest } = from instanceof Uint32Array ? subgroupSizes(from) : from;
  const known = new Map<number, number>();
  const at = (n: number): number => {
    const seen = known.get(n);
    if (seen !== undefined) return seen;
    const found = n < least ? Number.NaN : of(n);
    known.set(n, found);
    return found;
  };
  if (largest > 0 && smallest === largest) return at(largest);
  const line = new Float64Array(starts.length - 1);
  let before = 0;
  let value = at(0);
  for (let i = 0; i < line.length; i += 1) {
    const n = starts[i + 1]! - starts[i]!;
    if (n !== before) value = at(n);
    before = n;
    line[i] = value;
  }
  return line;
}

/**
 * What limits rest on, as a chart states it.
 *
 * @shape   the design, how sigma was had, and how many plotted points of the baseline were used
 * @unit    places and counts dimensionless
 * @source  derived here
 * @checked tests/unit/spc/drawn-variables/lines.test.ts
 */
export function provenanceOf({ baseline, k }: ChartDesign, estimator: string, n: number): Provenance {
  return { estimator, from: baseline.from, to: baseline.to, n, k };
}

/**
 * A chart with its lines.
 *
 * @shape   a series, what its limits rest on, its lines
 * @unit    that of the statistic
 * @source  derived here
 * @checked tests/unit/spc/drawn-variables/lines.test.ts
 */
export function withLines(series: PlottedSeries, provenance: Provenance, lines: Lines): DrawnChart {
  const { length } = series.values;
  return {
    ...series,
    provenance,
    refusal: null,
    centres: columnFor(lines.centre, length),
    sigmas: columnFor(lines.sigma, length),
    lower: columnFor(lines.lower, length),
    upper: columnFor(lines.upper, length),
  };
}

/**
 * A chart without lines: its points stay and are judged by nothing.
 *
 * @shape   a series, the design, and why there are no lines
 * @unit    that of the statistic
 * @cost    O(m), to count the points of the baseline
 * @source  derived here
 * @checked tests/unit/spc/drawn-variables/lines.test.ts
 */
export function refusedChart(series: PlottedSeries, design: ChartDesign, refusal: Refusal): DrawnChart {
  const none = constantColumn(null, series.values.length);
  const provenance = provenanceOf(design, "none", countThere(series.values, design.baseline));
  return { ...series, provenance, refusal, centres: none, sigmas: none, lower: none, upper: none };
}

/**
 * A chart with its lines where there are any.
 *
 * @shape   a series, the design, how sigma was had, how many points of the baseline were used, and the lines or why
 *          there are none
 * @unit    that of the statistic
 * @source  derived here
 * @checked tests/unit/spc/drawn-variables/lines.test.ts
 */
export function drawnChart(
  series: PlottedSeries,
  design: ChartDesign,
  estimator: string,
  n: number,
  lines: Outcome<Lines>,
): DrawnChart {
  if (!lines.ok) return refusedChart(series, design, lines.refusal);
  return withLines(series, provenanceOf(design, estimator, n), lines.value);
}

/**
 * Charts without lines, all for one reason.
 *
 * @shape   series in the order of their charts, the design, the reason
 * @unit    that of the statistics
 * @source  derived here
 * @checked tests/unit/spc/drawn-variables/lines.test.ts
 */
export function refusedCharts(series: readonly PlottedSeries[], design: ChartDesign, refusal: Refusal): DrawnCharts {
  const charts = series.map((one) => refusedChart(one, design, refusal));
  return { charts, sigmaWithin: null, dfWithin: null, cautions: [] };
}

/**
 * How many places of a span hold a number.
 *
 * @shape   a column and a half-open span of its places
 * @unit    dimensionless, a count
 * @cost    O(m)
 * @source  derived here
 * @checked tests/unit/spc/drawn-variables/lines.test.ts
 */
export function countThere({ raw }: Column, { from, to }: Span): number {
  if (typeof raw === "number") return Number.isFinite(raw) ? to - from : 0;
  let count = 0;
  for (let i = from; i < to; i += 1) if (Number.isFinite(raw[i]!)) count += 1;
  return count;
}

function combined(
  centre: number | Float64Array,
  sigma: number | Float64Array,
  of: (centre: number, sigma: number) => number,
): number | Float64Array {
  if (typeof centre === "number") {
    return typeof sigma === "number" ? of(centre, sigma) : sigma.map((s) => of(centre, s));
  }
  return centre.map((c, i) => of(c, typeof sigma === "number" ? sigma : sigma[i]!));
}

function columnFor(line: Line, length: number): Column {
  return line instanceof Float64Array ? columnOf(line) : constantColumn(line, length);
}
