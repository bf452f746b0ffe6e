import type { ChartDesign } from "../model/chart-design.ts";
import type { DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import { subgroupMoments } from "../sigma/subgroup-moments.ts";
import { subgroupRanges } from "../sigma/subgroup-ranges.ts";
import { drawAveragesAndSpread } from "./averages-and-spread.ts";
import { seriesOf } from "./lines.ts";
import { rangeLines } from "./spread-lines.ts";

/**
 * Averages with ranges: where each subgroup lies, and how wide it is, in a form that is checked by hand.
 *
 * @shape   grouped values in time order; sizes may differ, a subgroup of one has no spread point
 * @unit    that of the characteristic
 * @method  equal sizes: sigma = mean R / d2, so that the limits are those of A2, D3 and D4; unequal ones: pooled s / c4,
 *          and each subgroup has its own limits
 * @refuses too-few, zero-variation, not-finite, chance-too-small: then the charts stand without lines
 * @throws  RangeError for a design that cannot be meant or a value that is no number: a defect in the caller
 * @cost    O(n); three numbers a subgroup, and seven more where sizes differ
 * @source  ISO 7870-2; NIST/SEMATECH e-Handbook 6.3.2.1 (both from memory)
 * @checked tests/reference/spc/drawn-variables/averages.test.ts
 */
export function drawAveragesWithRange(data: Grouped, design: ChartDesign): DrawnCharts {
  const series = seriesOf("range", subgroupRanges(data), "limit", data.anew);
  return drawAveragesAndSpread(data, design, subgroupMoments(data), {
    prefer: "mean-range",
    series,
    lines: rangeLines,
  });
}
