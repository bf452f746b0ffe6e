import { normalCdf } from "../library/normal.ts";
import type { ChartDesign } from "../model/chart-design.ts";
import { columnOf } from "../model/column.ts";
import type { DrawnCharts } from "../model/drawn-chart.ts";
import type { Vectors } from "../model/vectors.ts";
import { mewmaLimitFor } from "../price/mewma-run-length.ts";
import type { PlottedSeries } from "./lines.ts";
import { provenanceOf, refusedCharts, withLines } from "./lines.ts";
import { vectorCautions } from "./vector-cautions.ts";
import { standardiser } from "./vector-distance.ts";
import type { KnownVectors, VectorEstimate, VectorSpread } from "./vector-estimate.ts";
import { estimateVectors } from "./vector-estimate.ts";
import { mewmaStage } from "./vector-mewma.ts";

/** What a MEWMA alone is told. */
export interface MewmaOptions {
  /** Weight of the newest point; 0.2 unless said. */
  readonly lambda?: number;
  /** Limit of T2; unless said the one with the run length that k has on a chart of single points: 370 for three. */
  readonly h?: number;
  readonly spread?: VectorSpread;
  readonly known?: KnownVectors;
}

/**
 * MEWMA chart: where several characteristics lie together, which shows small shifts that stay.
 *
 * @shape   complete vectors in subgroups or single, in time order; an empty place keeps its place, and Z; options
 * @unit    dimensionless
 * @method  `mewmaStage` over the whole series against h. h is right for the settled covariance and known parameters; with
 *          the exact covariance of the first points, as plotted, the run length is a little shorter. Memory reaches over
 *          gaps
 * @refuses as `estimateVectors`
 * @throws  RangeError for lambda outside 0.001 to 1 or h not above zero, and as `estimateVectors`: a defect in the caller
 * @cost    O(n p^2), and a tenth of a second for h where it is not given
 * @source  Lowry, Woodall, Champ and Rigdon 1992; Prabhu and Runger 1997, Journal of Quality Technology 29:8-15 (both from
 *          memory)
 * @checked tests/reference/spc/multivariate/mewma.test.ts
 */
export function drawMewma(data: Vectors, design: ChartDesign, options: MewmaOptions = {}): DrawnCharts {
  const lambda = options.lambda ?? 0.2;
  if (!(lambda >= 0.001 && lambda <= 1)) throw new RangeError(`lambda must lie from 0.001 to 1, got ${lambda}`);
  if (options.h !== undefined && !(options.h > 0 && Number.isFinite(options.h)))
    throw new RangeError(`a limit of T2 lies above zero, got ${options.h}`);
  const found = estimateVectors(data, design, options.spread, options.known);
  if (!found.ok) {
    const none = new Float64Array(data.starts.length - 1).fill(Number.NaN);
    return refusedCharts([mewmaSeries(none)], design, found.refusal);
  }
  const estimate = found.value;
  const h = options.h ?? mewmaLimitFor(data.dimension, lambda, 1 / (2 * normalCdf(-design.k)));
  const chart = withLines(
    mewmaSeries(followed(data, estimate, lambda)),
    provenanceOf(design, estimate.estimator, estimate.subgroups),
    { centre: null, sigma: null, lower: null, upper: h },
  );
  // An approximate limit of T2 is none of MEWMA's, whose limit takes the covariance as known in any case.
  const cautions = vectorCautions(data, estimate).filter(({ code }) => code === "missing-component");
  return { charts: [chart], sigmaWithin: null, dfWithin: null, cautions };
}

function mewmaSeries(values: Float64Array): PlottedSeries {
  return { kind: "mewma", values: columnOf(values), patterns: "limit", anew: [] };
}

function followed(data: Vectors, estimate: VectorEstimate, lambda: number): Float64Array {
  const values = new Float64Array(data.starts.length - 1).fill(Number.NaN);
  const stage = mewmaStage(estimate, lambda);
  const standardised = standardiser(data, estimate);
  let state = stage.initial;
  for (let place = 0; place < values.length; place += 1) {
    const n = data.starts[place + 1]! - data.starts[place]!;
    const step = stage.step(state, { z: standardised(place), n });
    state = step.state;
    values[place] = step.out[0] ?? Number.NaN;
  }
  return values;
}
