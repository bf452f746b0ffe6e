import { medianQuantile } from "../factors/median-quantile.ts";
import { medianSigma } from "../factors/median-sigma.ts";
import { normalCdf } from "../library/normal.ts";
import type { ChartDesign } from "../model/chart-design.ts";
import type { DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import { subgroupCount } from "../model/grouped.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok } from "../model/outcome.ts";
import { checkDesign } from "../sigma/check-design.ts";
import { estimatesFrom } from "../sigma/estimates.ts";
import type { SigmaEstimate } from "../sigma/location.ts";
import { baselineOf } from "../sigma/location.ts";
import { meanOf } from "../sigma/means.ts";
import { subgroupMedians } from "../sigma/subgroup-medians.ts";
import { subgroupMoments, subgroupSizes } from "../sigma/subgroup-moments.ts";
import { subgroupRanges } from "../sigma/subgroup-ranges.ts";
import type { Lines } from "./lines.ts";
import { evenLines, lineBySize, seriesOf } from "./lines.ts";
import { pairOfCharts } from "./pair-of-charts.ts";
import { chanceLost, rangeLines } from "./spread-lines.ts";

/**
 * Medians with ranges: where the middle of each subgroup lies, deaf to one bad value; suited to three or five sensors.
 *
 * @shape   grouped values in time order; sizes may differ, a subgroup of one has no spread point
 * @unit    that of the characteristic
 * @method  mean of the medians, and k sd-of-the-median(n_i) sigma to either side; sigma = mean R / d2 for equal sizes,
 *          so that the limits are those of A4, else pooled s / c4. `exact`: quantiles of the median with the chances that
 *          k sigma leave in a normal
 * @refuses too-few, zero-variation, not-finite, chance-too-small: then the charts stand without lines
 * @throws  RangeError for a design that cannot be meant or a value that is no number: a defect in the caller
 * @cost    O(n log of the largest subgroup); one quadrature a size
 * @source  ISO 7870-2; AIAG SPC manual 2nd ed. (both from memory)
 * @checked tests/reference/spc/drawn-variables/averages.test.ts
 */
export function drawMedians(data: Grouped, design: ChartDesign): DrawnCharts {
  checkDesign(design, subgroupCount(data));
  const medians = subgroupMedians(data);
  const location = seriesOf("median", medians, "all", data.anew);
  const spread = seriesOf("range", subgroupRanges(data), "limit", data.anew);
  const { from, to } = design.baseline;
  const baseline = baselineOf(data, design);
  const { means, sds } = subgroupMoments(baseline);
  const medianLines = ({ sigma }: SigmaEstimate): Outcome<Lines> => {
    const lost = chanceLost(design);
    if (lost !== null) return { ok: false, refusal: lost };
    const centre = design.centre ?? meanOf(medians.subarray(from, to), "a mean of medians").mean;
    const sizes = subgroupSizes(data.starts);
    const halves = lineBySize(sizes, 1, (size) => halfWidth(size, design) * sigma);
    return ok({ ...evenLines(centre, halves, 1), sigma: lineBySize(sizes, 1, (size) => medianSigma(size) * sigma) });
  };
  return pairOfCharts(
    estimatesFrom(baseline, design, means, sds, "mean-range"),
    design,
    { series: location, lines: medianLines },
    { series: spread, lines: ({ sigma }) => rangeLines(data.starts, sigma, design), used: design.baseline },
  );
}

function halfWidth(size: number, { k, limits }: ChartDesign): number {
  return limits === "exact" ? -medianQuantile(normalCdf(-k), size) : k * medianSigma(size);
}
