import { normalCdf, normalQuantile } from "../library/normal.ts";
import type { ChartDesign } from "../model/chart-design.ts";
import { columnOf } from "../model/column.ts";
import type { Caution, DrawnCharts } from "../model/drawn-chart.ts";
import type { Vectors } from "../model/vectors.ts";
import type { PlottedSeries } from "./lines.ts";
import { provenanceOf, refusedCharts, withLines } from "./lines.ts";
import { vectorCautions } from "./vector-cautions.ts";
import { squaredDistance, standardiser } from "./vector-distance.ts";
import type { KnownVectors, VectorEstimate, VectorSpread } from "./vector-estimate.ts";
import { estimateVectors } from "./vector-estimate.ts";
import { t2Limit } from "./vector-limits.ts";
import { generalisedVariance } from "./vector-variance.ts";

/** What a T2 chart alone needs. */
export interface T2Options {
  /** 1 or 2 for all places; without it a place of the baseline is judged by Phase 1 and every other by Phase 2. */
  readonly phase?: 1 | 2;
  /** Chance of a point of a stable process beyond the limit; that of k in a normal unless said otherwise. */
  readonly alpha?: number;
  readonly spread?: VectorSpread;
  /** Known parameters: the limit is then that of chi-square. */
  readonly known?: KnownVectors;
}

/**
 * T2 chart: several characteristics at once, so that what is unusual only together is seen too.
 *
 * @shape   complete vectors in subgroups or single, the design, options
 * @unit    dimensionless
 * @method  T2 = n (mean_i - mean)' S^-1 (mean_i - mean) against an upper limit alone (`t2Limit`); always the statistic's
 *          own distribution, whatever limits the design asks for. Places of the baseline are part of what they are
 *          judged by, which Phase 1 takes into account. Subgroups have a `generalisedVariance` beside them
 * @refuses as `estimateVectors`
 * @throws  RangeError for an alpha that is no chance, and as `estimateVectors`: a defect in the caller
 * @cost    O(n p^2)
 * @source  Hotelling 1947; Alt 1985; Tracy, Young and Mason 1992, Journal of Quality Technology 24:88-95 (from memory)
 * @checked tests/reference/spc/multivariate/t2.test.ts
 */
export function drawT2(data: Vectors, design: ChartDesign, options: T2Options = {}): DrawnCharts {
  const alpha = options.alpha ?? 2 * normalCdf(-design.k);
  if (!(alpha > 0 && alpha < 1)) throw new RangeError(`a chance lies between 0 and 1, got ${alpha}`);
  const found = estimateVectors(data, design, options.spread, options.known);
  if (!found.ok) {
    const none = new Float64Array(data.starts.length - 1).fill(Number.NaN);
    const series = t2Series(data, none);
    const spread = { ...series, kind: "generalised-variance" };
    return refusedCharts(isGrouped(data) ? [series, spread] : [series], design, found.refusal);
  }
  const estimate = found.value;
  const series = t2Series(data, distances(data, estimate));
  const upper = t2Limits(data, design, estimate, alpha, options.phase);
  const k = options.alpha === undefined ? design.k : -normalQuantile(alpha / 2);
  const provenance = provenanceOf({ ...design, k }, estimate.estimator, estimate.subgroups);
  const chart = withLines(series, provenance, { centre: null, sigma: null, lower: null, upper });
  const cautions: readonly Caution[] = vectorCautions(data, estimate);
  const charts = isGrouped(data) ? [chart, generalisedVariance(data, design, estimate)] : [chart];
  return { charts, sigmaWithin: null, dfWithin: null, cautions };
}

function isGrouped({ starts }: Vectors): boolean {
  for (let place = 1; place < starts.length; place += 1) if (starts[place]! - starts[place - 1]! > 1) return true;
  return false;
}

function t2Series({ anew }: Vectors, values: Float64Array): PlottedSeries {
  return { kind: "t2", values: columnOf(values), patterns: "limit", anew };
}

function distances(data: Vectors, estimate: VectorEstimate): Float64Array {
  const values = new Float64Array(data.starts.length - 1).fill(Number.NaN);
  const standardised = standardiser(data, estimate);
  for (let place = 0; place < values.length; place += 1) {
    const z = standardised(place);
    const n = data.starts[place + 1]! - data.starts[place]!;
    if (z !== null) values[place] = squaredDistance(z, estimate.whitening, n);
  }
  return values;
}

/** One limit where all places have the same, else one a place. */
function t2Limits(
  { starts, dimension }: Vectors,
  { baseline }: ChartDesign,
  estimate: VectorEstimate,
  alpha: number,
  phase: 1 | 2 | undefined,
): number | Float64Array {
  const known = new Map<number, number>();
  const uppers = new Float64Array(starts.length - 1).fill(Number.NaN);
  for (let place = 0; place < uppers.length; place += 1) {
    const n = starts[place + 1]! - starts[place]!;
    if (n === 0) continue;
    const own = phase ?? (place >= baseline.from && place < baseline.to ? 1 : 2);
    const key = own === 1 ? n : -n;
    const upper = known.get(key) ?? t2Limit(estimate, dimension, n, own, alpha);
    known.set(key, upper);
    uppers[place] = upper;
  }
  return known.size === 1 ? [...known.values()][0]! : uppers;
}
