import type { ChartDesign } from "../model/chart-design.ts";
import type { DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import { subgroupMoments } from "../sigma/subgroup-moments.ts";
import { drawAveragesAndSpread } from "./averages-and-spread.ts";
import { seriesOf } from "./lines.ts";
import { sLines } from "./spread-lines.ts";

/**
 * Averages with standard deviations: where each subgroup lies, and how much varies within it.
 *
 * @shape   grouped values in time order; sizes may differ, a subgroup of one has no spread point
 * @unit    that of the characteristic
 * @method  equal sizes: sigma = mean s / c4, so that the limits are those of A3, B3 and B4; unequal ones: pooled s / c4,
 *          and each subgroup has its own limits
 * @refuses too-few, zero-variation, not-finite, chance-too-small: then the charts stand without lines
 * @throws  RangeError for a design that cannot be meant or a value that is no number: a defect in the caller
 * @cost    O(n), one pass over the values; two numbers a subgroup, and seven where sizes differ
 * @source  ISO 7870-2; NIST/SEMATECH e-Handbook 6.3.2.1 (both from memory)
 * @checked tests/reference/spc/drawn-variables/averages.test.ts
 */
export function drawAveragesWithS(data: Grouped, design: ChartDesign): DrawnCharts {
  const moments = subgroupMoments(data);
  const series = seriesOf("standard-deviation", moments.sds, "limit", data.anew);
  return drawAveragesAndSpread(data, design, moments, { prefer: "mean-s", series, lines: sLines });
}
