import type { ChartDesign } from "../model/chart-design.ts";
import type { DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import { subgroupCount } from "../model/grouped.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok } from "../model/outcome.ts";
import { betweenCautions } from "../sigma/between-caution.ts";
import { checkDesign } from "../sigma/check-design.ts";
import type { PreferredEstimator } from "../sigma/location.ts";
import { baselineOf, locationFrom } from "../sigma/location.ts";
import type { SubgroupMoments, SubgroupSizes } from "../sigma/subgroup-moments.ts";
import { subgroupSizes } from "../sigma/subgroup-moments.ts";
import type { Lines, PlottedSeries } from "./lines.ts";
import { countThere, drawnChart, evenLines, lineBySize, refusedCharts, seriesOf } from "./lines.ts";

/** A spread chart beside averages, and the estimator that belongs to it. */
export interface SpreadForm {
  readonly prefer: PreferredEstimator;
  readonly series: PlottedSeries;
  readonly lines: (sizes: SubgroupSizes, sigma: number, design: ChartDesign) => Outcome<Lines>;
}

/**
 * Averages beside any spread chart.
 *
 * @shape   grouped values in time order, the moments of all subgroups, and the spread chart
 * @unit    that of the characteristic
 * @method  mean of all values, and k sigma / sqrt(n_i) to either side
 * @refuses as `estimateLocation`: then the charts stand without lines
 * @throws  RangeError for a design that cannot be meant: a defect in the caller
 * @cost    O(m)
 * @source  ISO 7870-2 (from memory); NIST/SEMATECH e-Handbook 6.3.2.1 (from memory)
 * @checked tests/reference/spc/drawn-variables/averages.test.ts
 */
export function drawAveragesAndSpread(
  data: Grouped,
  design: ChartDesign,
  { means, sds }: SubgroupMoments,
  spread: SpreadForm,
): DrawnCharts {
  checkDesign(design, subgroupCount(data));
  const location = seriesOf("average", means, "all", data.anew);
  const { from, to } = design.baseline;
  const baseline = baselineOf(data, design);
  const own = { means: means.subarray(from, to), sds: sds.subarray(from, to) };
  const found = locationFrom(baseline, design, own.means, own.sds, spread.prefer);
  if (!found.ok) return refusedCharts([location, spread.series], design, found.refusal);
  const { estimator, centre, sigma, df, n } = found.value;
  const sizes = subgroupSizes(data.starts);
  const sigmas = lineBySize(sizes, 1, (size) => sigma / Math.sqrt(size));
  const used = countThere(spread.series.values, design.baseline);
  return {
    charts: [
      drawnChart(location, design, estimator, n, ok(evenLines(centre, sigmas, design.k))),
      drawnChart(spread.series, design, estimator, used, spread.lines(sizes, sigma, design)),
    ],
    sigmaWithin: sigma,
    dfWithin: df,
    cautions: betweenCautions(baseline, own.means, own.sds),
  };
}
