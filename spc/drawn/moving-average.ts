import type { ChartDesign } from "../model/chart-design.ts";
import type { DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped, Span } from "../model/grouped.ts";
import { subgroupCount } from "../model/grouped.ts";
import { ok } from "../model/outcome.ts";
import { checkDesign } from "../sigma/check-design.ts";
import { estimatesFrom } from "../sigma/estimates.ts";
import { baselineOf } from "../sigma/location.ts";
import { movingRangesOf } from "../sigma/moving-ranges.ts";
import { subgroupMoments, subgroupSizes } from "../sigma/subgroup-moments.ts";
import { evenLines, seriesOf } from "./lines.ts";
import type { ChartPlan } from "./pair-of-charts.ts";
import { pairOfCharts, rangesWithin } from "./pair-of-charts.ts";
import { movingRangeLines, sLines } from "./spread-lines.ts";

/**
 * Moving average: the mean of the last few averages, which shows a small shift sooner than one point does.
 *
 * @shape   grouped values in time order, single ones included; `span` places, one or more. Places without a value
 *          are left out of the mean and have no point; the mean begins again where memory ends
 * @unit    that of the characteristic
 * @method  mean of the averages of the last min(t, span) places; its sigma is sigma sqrt(sum 1 / n_i) over their count,
 *          so that limits narrow to k sigma / sqrt(n span). Beside it moving ranges of single values, else s within
 * @refuses too-few, zero-variation, not-finite, chance-too-small: then the charts stand without lines
 * @throws  RangeError for a span that is no whole number of one or more, a design that cannot be meant, or a value
 *          that is no number: a defect in the caller
 * @cost    O(n + m span); eight numbers a place
 * @source  Roberts 1959, Technometrics 1:239-250; Montgomery, Introduction to Statistical Quality Control, 9.3 (both
 *          from memory); unequal sizes and gaps: derived here
 * @checked tests/reference/spc/drawn-variables/moving-average.test.ts
 */
export function drawMovingAverage(data: Grouped, design: ChartDesign, span: number): DrawnCharts {
  if (!Number.isInteger(span) || span < 1) throw new RangeError(`a moving average spans one or more, got ${span}`);
  checkDesign(design, subgroupCount(data));
  const { means, sds } = subgroupMoments(data);
  const { averages, shares } = windows(data, means, span);
  const location = seriesOf("moving-average", averages, "limit", data.anew);
  const { from, to } = design.baseline;
  const baseline = baselineOf(data, design);
  return pairOfCharts(
    estimatesFrom(baseline, design, means.subarray(from, to), sds.subarray(from, to), "mean-s"),
    design,
    { series: location, lines: ({ centre, sigma }) => ok(evenLines(centre, scaled(shares, sigma), design.k)) },
    spreadPlan(data, design, means, sds),
  );
}

function spreadPlan(
  data: Grouped,
  design: ChartDesign,
  means: Float64Array,
  sds: Float64Array,
): ChartPlan & { readonly used: Span } {
  const { starts, anew } = data;
  if (subgroupSizes(starts).largest < 2) {
    const series = seriesOf("moving-range", movingRangesOf(means, anew), "limit", anew);
    return { series, lines: ({ sigma }) => movingRangeLines(sigma, design), used: rangesWithin(design.baseline) };
  }
  const series = seriesOf("standard-deviation", sds, "limit", anew);
  return { series, lines: ({ sigma }) => sLines(starts, sigma, design), used: design.baseline };
}

/** In place: millions of places, and nobody else holds them. */
function scaled(line: Float64Array, by: number): Float64Array {
  for (let i = 0; i < line.length; i += 1) line[i] = line[i]! * by;
  return line;
}

/** Moving averages, and their standard deviations in sigma of single values. */
function windows(
  data: Grouped,
  means: Float64Array,
  span: number,
): { readonly averages: Float64Array; readonly shares: Float64Array } {
  const { starts, anew } = data;
  const averages = new Float64Array(subgroupCount(data)).fill(Number.NaN);
  const shares = averages.slice();
  let begun = 0;
  let next = 0;
  for (let i = 0; i < averages.length; i += 1) {
    while (next < anew.length && anew[next]! <= i) {
      begun = Math.max(begun, anew[next]!);
      next += 1;
    }
    const newest = means[i]!;
    if (!Number.isFinite(newest)) continue;
    let sum = 0;
    let share = 0;
    let count = 0;
    // Summed anew at each place: a running sum would gather the rounding of millions of places.
    for (let j = Math.max(begun, i - span + 1); j <= i; j += 1) {
      if (!Number.isFinite(means[j]!)) continue;
      sum += means[j]! - newest;
      share += 1 / (starts[j + 1]! - starts[j]!);
      count += 1;
    }
    averages[i] = newest + sum / count;
    shares[i] = Math.sqrt(share) / count;
  }
  return { averages, shares };
}
