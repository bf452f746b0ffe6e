import type { CusumScheme } from "../charts/cusum-sums.ts";
import { checkCusum } from "../charts/cusum-sums.ts";
import type { ChartDesign } from "../model/chart-design.ts";
import { columnOf } from "../model/column.ts";
import type { DrawnChart, DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { subgroupSizes } from "../sigma/subgroup-moments.ts";
import { followCusum } from "./cusum-follow.ts";
import type { Beside } from "./ewma-beside.ts";
import { besideSpread, checkCorrections } from "./ewma-beside.ts";
import { dependenceCaution } from "./ewma-cautions.ts";
import type { PlottedSeries } from "./lines.ts";
import { provenanceOf, refusedChart, withLines } from "./lines.ts";

/** What a CUSUM alone is told. */
export interface CusumOptions {
  /** Reference value, half the shift that is to be found soonest; 0.5 sigma unless said. */
  readonly k?: number;
  /** Decision interval; 4.77 sigma unless said: about 370 points to a chance signal. */
  readonly h?: number;
  /** Where both sums start; 0 unless said, h / 2 for a fast initial response. */
  readonly headStart?: number;
  /** What k, h and head start are written in: sigma of the plotted average, unless `data`: the characteristic's unit. */
  readonly units?: "sigma" | "data";
  /** `scale` sums what shows a change of spread; single values are meant. */
  readonly of?: "location" | "scale";
  /** Farthest that a single point may lie out, in sigma of the plotted average, such as 3.5; no limit unless said. */
  readonly shewhart?: number | null;
  /** Places before which a cause was found and corrected, ascending: both sums begin anew there. */
  readonly corrections?: readonly number[];
}

/** A CUSUM beside its spread, and what was frozen for it: null where limits were refused. */
export interface DrawnCusum extends DrawnCharts {
  readonly scheme: CusumScheme | null;
}

/**
 * CUSUM chart: two sums of how far points lie beyond k on either side, which show small shifts that stay, and since when.
 *
 * @shape   grouped values in time order; an empty subgroup holds its place, and both sums; the design, whose k is for the
 *          spread beside it only; options
 * @unit    sigma of the plotted average, whatever unit k and h are written in
 * @method  `cusumStage` over the whole series; centre and sigma as `estimateLocation`. Charts: `cusum-upper`,
 *          `cusum-lower` (of scale: `cusum-scale-upper`, `cusum-scale-lower`), each with the upper limit h alone;
 *          `standardised` where single points have a limit; then the spread
 * @refuses as `estimateLocation`; unequal-sizes for k and h in the unit of the data: then the charts stand without lines,
 *          and the sums without points
 * @throws  RangeError for a design or option that cannot be meant: a defect in the caller
 * @cost    O(n), one pass; two numbers a place, three with a limit for single points
 * @source  Page 1954, Biometrika 41:100-115; Lucas and Crosier 1982, Technometrics 24:199-205; Hawkins 1981, Journal of
 *          Quality Technology 13:228-231 (all from memory); NIST/SEMATECH e-Handbook 6.3.2.3
 * @checked tests/reference/spc/time-weighted/nist-cusum.test.ts
 */
export function drawCusum(data: Grouped, design: ChartDesign, options: CusumOptions = {}): DrawnCusum {
  const beside = besideSpread(data, design);
  const n = beside.means.length;
  const corrections = checkCorrections(options.corrections ?? [], n);
  const found = frozenCusum(data, options, beside);
  const limit = options.shewhart ?? null;
  // A column of no length takes what is written into it for nothing.
  const [upper, lower, single] = [n, n, limit === null ? 0 : n].map((length) => none(length)) as Columns;
  if (found.ok) {
    followCusum(found.value, data, beside.means, corrections, (place, state, z) => {
      upper[place] = state.upper.value;
      lower[place] = state.lower.value;
      single[place] = z;
    });
  }
  const name = options.of === "scale" ? "cusum-scale" : "cusum";
  const drawn = (kind: string, points: Float64Array, low: number | null, high: number | null): DrawnChart => {
    const series: PlottedSeries = { kind, values: columnOf(points), patterns: "limit", anew: [] };
    if (!found.ok || !beside.estimate.ok) return refusedChart(series, design, refusalOf(found, beside));
    const { estimator, n: used } = beside.estimate.value;
    const provenance = { ...provenanceOf(design, estimator, used), k: high! };
    return withLines(series, provenance, { centre: 0, sigma: low === null ? null : 1, lower: low, upper: high });
  };
  const scheme = found.ok ? found.value : null;
  return {
    charts: [
      drawn(`${name}-upper`, upper, null, scheme?.h ?? null),
      drawn(`${name}-lower`, lower, null, scheme?.h ?? null),
      ...(limit === null ? [] : [drawn("standardised", single, -limit, limit)]),
      beside.spread,
    ],
    sigmaWithin: beside.sigmaWithin,
    dfWithin: beside.dfWithin,
    cautions: [...beside.cautions, ...dependenceCaution("a CUSUM", design, beside)],
    scheme,
  };
}

type Columns = [Float64Array, Float64Array, Float64Array];

function none(length: number): Float64Array {
  return new Float64Array(length).fill(Number.NaN);
}

function frozenCusum(data: Grouped, options: CusumOptions, beside: Beside): Outcome<CusumScheme> {
  const { k = 0.5, h = 4.77, headStart = 0, units = "sigma", of = "location", shewhart = null } = options;
  // Judged before anything of the data, so that an option which cannot be meant is never taken for a refusal.
  checkCusum({ centre: 0, sigma: 1, k, h, headStart, of, shewhart });
  if (!beside.estimate.ok) return beside.estimate;
  const { centre, sigma } = beside.estimate.value;
  if (units === "sigma") return ok({ centre, sigma, k, h, headStart, of, shewhart });
  const { smallest, largest } = subgroupSizes(data.starts);
  if (smallest !== largest) {
    const detail = `k and h in the unit of the data need subgroups of one size, there are ${smallest} to ${largest}`;
    return refuse("unequal-sizes", detail, { needs: largest, has: smallest });
  }
  const unit = sigma / Math.sqrt(Math.max(1, largest));
  const scaled = { k: k / unit, h: h / unit, headStart: headStart / unit };
  return ok({ centre, sigma, ...scaled, of, shewhart });
}

function refusalOf(found: Outcome<CusumScheme>, { estimate }: Beside) {
  if (!found.ok) return found.refusal;
  if (!estimate.ok) return estimate.refusal;
  throw new RangeError("a chart with limits has no refusal");
}
