import type { ChartDesign } from "../model/chart-design.ts";
import type { DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import { rangeBreaks, subgroupCount } from "../model/grouped.ts";
import { ok } from "../model/outcome.ts";
import { checkDesign } from "../sigma/check-design.ts";
import { estimatesFrom } from "../sigma/estimates.ts";
import { baselineOf } from "../sigma/location.ts";
import { movingRangesOf } from "../sigma/moving-ranges.ts";
import { subgroupAverages, subgroupSizes } from "../sigma/subgroup-moments.ts";
import { evenLines, seriesOf } from "./lines.ts";
import { pairOfCharts, rangesWithin } from "./pair-of-charts.ts";
import { movingRangeLines } from "./spread-lines.ts";

/**
 * Individuals and moving ranges: single values, and how far each lies from the one before.
 *
 * @shape   single values in time order, each its own subgroup; an empty one holds the place of a missing one
 * @unit    that of the characteristic
 * @method  mean, and k mean MR / d2(2) to either side; moving ranges against d2 sigma and D4, the lower limit 0. No
 *          range is bridged over a missing value, a gap or another part or tool. The basis `overall` widens the individuals alone
 * @refuses too-few, zero-variation, not-finite, chance-too-small: then the charts stand without lines
 * @throws  RangeError for subgroups of several values, a design that cannot be meant, or a value that is no number:
 *          a defect in the caller
 * @cost    O(n); one number a place
 * @source  NIST/SEMATECH e-Handbook 6.3.2.2; ISO 7870-2 (from memory)
 * @checked tests/reference/spc/drawn-variables/individuals.test.ts
 */
export function drawIndividuals(data: Grouped, design: ChartDesign): DrawnCharts {
  checkDesign(design, subgroupCount(data));
  const { largest } = subgroupSizes(data.starts);
  if (largest > 1) throw new RangeError(`individuals need subgroups of one value, got ${largest}`);
  const points = subgroupAverages(data);
  const ranges = movingRangesOf(points, rangeBreaks(data));
  const location = seriesOf("individuals", points, "all", data.anew);
  const spread = seriesOf("moving-range", ranges, "limit", data.anew);

  const { from, to } = design.baseline;
  const estimates = estimatesFrom(baselineOf(data, design), design, points.subarray(from, to), noSpread, "mean-s");
  return pairOfCharts(
    estimates,
    design,
    { series: location, lines: ({ centre, sigma }) => ok(evenLines(centre, sigma, design.k)) },
    { series: spread, lines: ({ sigma }) => movingRangeLines(sigma, design), used: rangesWithin(design.baseline) },
  );
}

/** Subgroups of one have none. */
const noSpread = new Float64Array(0);
