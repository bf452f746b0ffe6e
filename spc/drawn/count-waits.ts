import type { ChartDesign } from "../model/chart-design.ts";
import { columnOf } from "../model/column.ts";
import type { Caution, DrawnChart, DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import { subgroupCount } from "../model/grouped.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { checkDesign } from "../sigma/check-design.ts";
import type { Lines, PlottedSeries } from "./lines.ts";
import { provenanceOf, refusedCharts, withLines } from "./lines.ts";

/** What a chart of waits has found: its lines, and how it came by them. */
export interface WaitLines {
  readonly lines: Lines;
  readonly estimator: string;
}

/**
 * Plotted waits: how long, or how many units, until the next event, one at each place.
 *
 * @shape   single values, zero or more; an empty subgroup keeps its place; what the chart is called and its patterns
 * @unit    that of the waits
 * @throws  RangeError for subgroups of several values, a wait below zero or no number: a defect in the caller
 * @cost    O(n)
 * @source  definition
 * @checked tests/unit/spc/rare/waits.test.ts
 */
export function waitSeries(
  data: Grouped,
  design: ChartDesign,
  kind: string,
  patterns: DrawnChart["patterns"],
): PlottedSeries {
  const length = subgroupCount(data);
  checkDesign(design, length);
  const values = new Float64Array(length).fill(Number.NaN);
  for (let place = 0; place < length; place += 1) {
    const first = data.starts[place]!;
    const n = data.starts[place + 1]! - first;
    if (n > 1) throw new RangeError(`waits are single values, got a subgroup of ${n}`);
    if (n === 0) continue;
    const wait = data.values[first]!;
    if (!(wait >= 0 && Number.isFinite(wait))) throw new RangeError(`a wait is zero or more, got ${wait}`);
    values[place] = wait;
  }
  return { kind, values: columnOf(values), patterns, anew: data.anew };
}

/**
 * Mean wait: what limits follow from where one number says all, or the one given.
 *
 * @shape   plotted waits and the design
 * @unit    that of the waits
 * @method  mean of the baseline, taken term by term so that no sum leaves the range of numbers
 * @refuses too-few below two waits; zero-variation when none is above zero; spread-follows-centre
 * @throws  RangeError for a given mean below zero: a defect in the caller
 * @cost    O(n)
 * @source  Benneyan 2001 (from memory)
 * @checked tests/unit/spc/rare/waits.test.ts
 */
export function meanWait(series: PlottedSeries, design: ChartDesign): Outcome<number> {
  if (design.sigma !== null || design.basis === "overall")
    return refuse(
      "spread-follows-centre",
      "the spread of these waits follows from their mean: a sigma or the basis overall has no place here",
    );
  if (design.centre !== null) {
    if (!(design.centre >= 0)) throw new RangeError(`a mean wait is zero or more, got ${design.centre}`);
    return design.centre > 0 ? ok(design.centre) : nothingWaits();
  }
  let mean = 0;
  let n = 0;
  for (let place = design.baseline.from; place < design.baseline.to; place += 1) {
    const wait = series.values.at(place);
    if (wait === null) continue;
    n += 1;
    mean += (wait - mean) / n;
  }
  if (n < 2) return refuse("too-few", `2 waits are needed for limits, the baseline has ${n}`, { needs: 2, has: n });
  return mean > 0 ? ok(mean) : nothingWaits();
}

/**
 * Chart of waits: long is good, short is bad, and one short wait tells next to nothing.
 *
 * @shape   plotted waits, the design, the lines or why there are none
 * @unit    that of the waits
 * @method  cautions: low-side-unseen, always, because the waits of a worse process are hardly shorter than the shortest
 *          of a good one; ties-at-zero where waits of zero say that the clock, or the count, is too coarse
 * @cost    O(n)
 * @source  Benneyan 2001 (from memory)
 * @checked tests/unit/spc/rare/waits.test.ts
 */
export function waitChart(series: PlottedSeries, design: ChartDesign, found: Outcome<WaitLines>): DrawnCharts {
  if (!found.ok) return refusedCharts([series], design, found.refusal);
  const { raw } = series.values;
  const { from, to } = design.baseline;
  let n = 0;
  let zeros = 0;
  for (let place = 0; place < series.values.length; place += 1) {
    const wait = typeof raw === "number" ? raw : raw[place]!;
    if (wait === 0) zeros += 1;
    if (place >= from && place < to && Number.isFinite(wait)) n += 1;
  }
  const chart = withLines(series, provenanceOf(design, found.value.estimator, n), found.value.lines);
  const cautions: Caution[] = [{ code: "low-side-unseen", text: lowSide(found.value.lines) }];
  // A count of zero units between two events is an honest one; a time of zero is not.
  if (series.kind === "t" && zeros > 0) {
    const text = `${zeros} of the times are 0: the clock is too coarse, or one event was taken down twice`;
    cautions.push({ code: "ties-at-zero", text });
  }
  return { charts: [chart], sigmaWithin: null, dfWithin: null, cautions };
}

function lowSide({ lower }: Lines): string {
  const limit =
    lower === 0
      ? "the lower limit is 0"
      : `the lower limit of ${Number((lower as number).toPrecision(3))} is hardly above 0`;
  return `${limit}, so one short wait cannot signal: that events come more often shows in a row of short ones`;
}

function nothingWaits(): ReturnType<typeof refuse> {
  return refuse("zero-variation", "no wait is above zero, so no limits follow from them");
}
