import type { ChartDesign } from "../model/chart-design.ts";
import { columnOf, constantColumn } from "../model/column.ts";
import type { DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped, Span } from "../model/grouped.ts";
import { subgroupCount } from "../model/grouped.ts";
import { checkDesign } from "../sigma/check-design.ts";
import { subgroupAverages } from "../sigma/subgroup-moments.ts";
import { fitAr1 } from "../stats/ar1.ts";
import { batchSizeFor } from "../stats/ar1-batches.ts";
import { drawIndividuals } from "./individuals.ts";
import { refusedCharts } from "./lines.ts";
import { pointsAsSingles } from "./residual-points.ts";

/** Batch means beside their moving ranges; a place of these charts is a batch. */
export interface DrawnBatchMeans extends DrawnCharts {
  /** Points in a batch; null where it could not be had. */
  readonly size: number | null;
  /** First point of each batch, in plotted places of the data. */
  readonly firsts: readonly number[];
}

/** Share of a batch that may be missing. */
const MISSING = 0.1;

/**
 * Batch-mean chart: means of so many neighbouring points that they hardly depend on each other, as individuals.
 *
 * @shape   grouped values in time order, averages where there are several; the design, whose baseline is in points and
 *          whose sigma is that of the batch means; the size in place of the one for the baseline's r_1
 * @unit    that of the characteristic
 * @method  unweighted means of consecutive points, without overlap; the smallest size of two or more that leaves a
 *          correlation of at most 0.1 (`batchSizeFor`). A batch does not reach across a gap; a rest too short for one is
 *          left out; a batch of which more than a tenth is missing holds its place. Limits from the moving ranges of the
 *          batches that lie in the baseline whole
 * @refuses too-few, zero-variation, not-finite: then the charts stand without lines; without a size they have no places
 * @throws  RangeError for a design or size that cannot be meant, or a value that is no number: a defect in the caller
 * @cost    O(n)
 * @source  Runger and Willemain 1996, IIE Transactions 28:481-487 (from memory); missing share: common practice, no source
 * @checked tests/unit/spc/time-weighted/batch-mean.test.ts
 */
export function drawBatchMeans(
  data: Grouped,
  design: ChartDesign,
  options: { readonly size?: number } = {},
): DrawnBatchMeans {
  checkDesign(design, subgroupCount(data));
  const { size: given } = options;
  if (given !== undefined && !(Number.isInteger(given) && given >= 1))
    throw new RangeError(`a batch has one or more points, got ${given}`);
  const points = subgroupAverages(data);
  const { from, to } = design.baseline;
  const fit = fitAr1(columnOf(points.subarray(from, to)));
  if (given === undefined && !fit.ok) {
    const series = (["batch-mean", "moving-range"] as const).map((kind) => ({
      kind,
      values: constantColumn(null, 0),
      patterns: kind === "batch-mean" ? ("all" as const) : ("limit" as const),
      anew: [],
    }));
    return { ...refusedCharts(series, design, fit.refusal), size: null, firsts: [] };
  }
  const size = given ?? batchSizeFor(fit.ok ? fit.value.phi : 0);
  const { firsts, means, anew } = batched(points, data.anew, size);
  const own = { ...design, baseline: wholeBatches(firsts, size, design.baseline) };
  const { charts } = drawIndividuals(pointsAsSingles(means, anew), own);
  const [location, spread] = charts;
  return {
    charts: [{ ...location!, kind: "batch-mean" }, spread!],
    sigmaWithin: null,
    dfWithin: null,
    cautions: [],
    size,
    firsts,
  };
}

function batched(points: Float64Array, anew: readonly number[], size: number) {
  const firsts: number[] = [];
  const means: number[] = [];
  const begun: number[] = [];
  const ends = [...anew.filter((place) => place > 0 && place < points.length), points.length];
  let from = 0;
  for (const end of ends) {
    if (from > 0 && from + size <= end) begun.push(firsts.length);
    for (; from + size <= end; from += size) {
      firsts.push(from);
      means.push(meanOfBatch(points, from, size));
    }
    from = end;
  }
  return { firsts, means: Float64Array.from(means), anew: begun };
}

/** Differences from the first value there, so that a high level costs no digits. */
function meanOfBatch(points: Float64Array, from: number, size: number): number {
  let first = Number.NaN;
  let sum = 0;
  let there = 0;
  for (let i = from; i < from + size; i += 1) {
    if (!Number.isFinite(points[i]!)) continue;
    if (there === 0) first = points[i]!;
    sum += points[i]! - first;
    there += 1;
  }
  return there < (1 - MISSING) * size ? Number.NaN : first + sum / there;
}

function wholeBatches(firsts: readonly number[], size: number, { from, to }: Span): Span {
  const inside = (first: number): boolean => first >= from && first + size <= to;
  const first = firsts.findIndex(inside);
  if (first < 0) return { from: 0, to: 0 };
  return { from: first, to: firsts.findLastIndex(inside) + 1 };
}
