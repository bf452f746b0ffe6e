import type { ChartDesign } from "../model/chart-design.ts";
import type { DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import { subgroupCount } from "../model/grouped.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok } from "../model/outcome.ts";
import { betweenCautions } from "../sigma/between-caution.ts";
import { checkDesign } from "../sigma/check-design.ts";
import { estimatesFrom } from "../sigma/estimates.ts";
import type { PreferredEstimator, SigmaEstimate } from "../sigma/location.ts";
import { baselineOf } from "../sigma/location.ts";
import type { SubgroupMoments, SubgroupSizes } from "../sigma/subgroup-moments.ts";
import { subgroupSizes } from "../sigma/subgroup-moments.ts";
import type { Lines, PlottedSeries } from "./lines.ts";
import { evenLines, lineBySize, seriesOf } from "./lines.ts";
import { pairOfCharts } from "./pair-of-charts.ts";

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
 * @method  mean of all values, and k sigma / sqrt(n_i) to either side; the basis `overall` widens the averages alone
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
  const estimates = estimatesFrom(baseline, design, own.means, own.sds, spread.prefer);
  const sizes = subgroupSizes(data.starts);
  const { location: found } = estimates;
  const grand = found.ok && design.centre === null ? found.value.centre : null;
  const averageLines = ({ centre, sigma }: SigmaEstimate) =>
    ok(
      evenLines(
        centre,
        lineBySize(sizes, 1, (size) => sigma / Math.sqrt(size)),
        design.k,
      ),
    );
  return pairOfCharts(
    estimates,
    design,
    { series: location, lines: averageLines },
    { series: spread.series, lines: ({ sigma }) => spread.lines(sizes, sigma, design), used: design.baseline },
    design.basis === "chart" ? betweenCautions(baseline, own.means, own.sds, grand) : [],
  );
}
