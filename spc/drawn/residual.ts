import type { ChartDesign } from "../model/chart-design.ts";
import { columnOf } from "../model/column.ts";
import type { Caution, DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import { subgroupCount } from "../model/grouped.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { checkDesign } from "../sigma/check-design.ts";
import { meanOf } from "../sigma/means.ts";
import { subgroupAverages } from "../sigma/subgroup-moments.ts";
import { fitAr1 } from "../stats/ar1.ts";
import { finiteOnes } from "../stats/finite.ts";
import { drawIndividuals } from "./individuals.ts";
import { refusedCharts, seriesOf } from "./lines.ts";
import { pointsAsSingles } from "./residual-points.ts";

/** What was frozen of a baseline: x is expected at mean + phi (x before - mean). */
export interface Ar1Model {
  readonly mean: number;
  readonly phi: number;
  /** Of phi; null when phi was given. */
  readonly standardError: number | null;
}

/** Residuals beside their moving ranges, and the model they are left of: null where it was refused. */
export interface DrawnResiduals extends DrawnCharts {
  readonly model: Ar1Model | null;
}

/** Beyond this phi a shift that stays hardly shows in residuals. */
const INSENSITIVE = 0.5;

/**
 * Residual chart: what of each point the one before it does not explain, as individuals with moving ranges.
 *
 * @shape   grouped values in time order, averages where there are several; the design, whose centre is that of the
 *          points and whose sigma is that of the residuals; a frozen phi in place of the baseline's
 * @unit    that of the characteristic
 * @method  e = (x - mean) - phi (x before - mean), phi = r_1 of the baseline's points; none where the point before is
 *          missing or memory ends between them. Centre 0; sigma from the residuals' moving ranges, or on the basis
 *          `overall` their s. A shift d that stays shows as d once and as d (1 - phi) after that
 * @refuses too-few, zero-variation, not-finite: then the charts stand without lines
 * @throws  RangeError for a design or phi that cannot be meant, or a value that is no number: a defect in the caller
 * @cost    O(n)
 * @source  Alwan and Roberts 1988, Journal of Business and Economic Statistics 6:87-95 (from memory)
 * @checked tests/unit/spc/time-weighted/residual.test.ts
 */
export function drawResidual(
  data: Grouped,
  design: ChartDesign,
  options: { readonly phi?: number } = {},
): DrawnResiduals {
  checkDesign(design, subgroupCount(data));
  if (options.phi !== undefined && !(Math.abs(options.phi) < 1))
    throw new RangeError(`phi must lie between -1 and 1, got ${options.phi}`);
  const points = subgroupAverages(data);
  const model = modelOf(points, design, options.phi);
  if (!model.ok) {
    const none = new Float64Array(points.length).fill(Number.NaN);
    const series = ["residual", "moving-range"].map((kind, i) =>
      seriesOf(kind, none, i === 0 ? "all" : "limit", data.anew),
    );
    return { ...refusedCharts(series, design, model.refusal), model: null };
  }
  const residuals = residualsOf(points, data.anew, model.value);
  const { from, to } = design.baseline;
  // The first point of the baseline is explained by one outside it.
  const own = { ...design, centre: 0, baseline: { from: Math.min(from + 1, to), to } };
  const [location, spread] = drawIndividuals(pointsAsSingles(residuals, data.anew), own).charts;
  return {
    charts: [{ ...location!, kind: "residual" }, spread!],
    sigmaWithin: null,
    dfWithin: null,
    cautions: cautionsOf(model.value),
    model: model.value,
  };
}

function modelOf(points: Float64Array, { baseline, centre }: ChartDesign, given?: number): Outcome<Ar1Model> {
  const own = points.subarray(baseline.from, baseline.to);
  const fit = given === undefined ? fitAr1(columnOf(own)) : ok({ phi: given, standardError: null });
  if (!fit.ok) return fit;
  const { phi, standardError } = fit.value;
  if (centre !== null) return ok({ mean: centre, phi, standardError });
  const there = finiteOnes(own);
  if (there.length === 0) return refuse("too-few", "no point of the baseline is there", { needs: 1, has: 0 });
  const { mean } = meanOf(there, "a mean of points");
  if (!Number.isFinite(mean)) return refuse("not-finite", "arithmetic with the values leaves the range of numbers");
  return ok({ mean, phi, standardError });
}

function residualsOf(points: Float64Array, anew: readonly number[], { mean, phi }: Ar1Model): Float64Array {
  const residuals = new Float64Array(points.length).fill(Number.NaN);
  for (let i = 1; i < points.length; i += 1) residuals[i] = points[i]! - mean - phi * (points[i - 1]! - mean);
  for (const place of anew) if (place < points.length) residuals[place] = Number.NaN;
  return residuals;
}

function cautionsOf({ phi }: Ar1Model): readonly Caution[] {
  if (!(phi > INSENSITIVE)) return [];
  const left = Math.round(100 * (1 - phi));
  return [{ code: "residual-insensitive", text: `of a shift that stays, ${left} % shows after the first point` }];
}
