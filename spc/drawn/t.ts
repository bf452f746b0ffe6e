import { normalCdf } from "../library/normal.ts";
import type { ChartDesign } from "../model/chart-design.ts";
import type { DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { estimateLocation } from "../sigma/location.ts";
import type { WaitLines } from "./count-waits.ts";
import { meanWait, waitChart, waitSeries } from "./count-waits.ts";

/** Makes a Weibull of shape 3.6, which looks normal, of an exponential. */
const POWER = 3.6;

/**
 * t chart: how long it takes from one event to the next, against what chance lets it take.
 *
 * @shape   single times, zero or more; an empty subgroup keeps its place. A given centre is a time, a given sigma one of
 *          time^(1/3.6)
 * @unit    that of the times
 * @method  sigma: individuals with moving range of time^(1/3.6), whose lines are taken back to the times that are plotted;
 *          sigma there is the k-th part of the way from centre to upper limit. exact: exponential quantiles of the mean
 *          time, about the median. Order and sides are the same before and after, so patterns count
 * @refuses too-few, zero-variation, not-finite; spread-follows-centre for `exact` with a sigma or the basis `overall`
 * @throws  RangeError for times below zero, or no numbers: a defect in the caller
 * @cost    O(n)
 * @source  Nelson 1994, Journal of Quality Technology 26:239-240 (from memory)
 * @checked tests/reference/spc/rare/waits.test.ts
 */
export function drawT(data: Grouped, design: ChartDesign): DrawnCharts {
  const series = waitSeries(data, design, "t", "first-four");
  if (design.limits === "sigma") return waitChart(series, design, transformedLines(data, design));
  const mean = meanWait(series, design);
  return waitChart(series, design, mean.ok ? exponentialLines(mean.value, design) : mean);
}

/**
 * Nelson's transform: times between events as values that look normal.
 *
 * @shape   one time, zero or more
 * @unit    that of the time, to the power 1/3.6
 * @source  Nelson 1994, Journal of Quality Technology 26:239-240 (from memory)
 * @checked tests/reference/spc/rare/waits.test.ts
 */
export function nelsonTransform(time: number): number {
  return time ** (1 / POWER);
}

/**
 * Quantile of times between events that come at random.
 *
 * @shape   a share above 0 and below 1; the mean time
 * @unit    that of the mean
 * @method  -mean ln(1 - share)
 * @throws  RangeError for a share out of range: a defect in the caller
 * @source  exponential distribution function
 * @checked tests/reference/spc/rare/waits.test.ts
 */
export function exponentialQuantile(share: number, mean: number): number {
  if (!(share > 0 && share < 1)) throw new RangeError(`a quantile needs a share between 0 and 1, got ${share}`);
  return -mean * Math.log1p(-share);
}

function transformedLines(data: Grouped, design: ChartDesign): Outcome<WaitLines> {
  if (design.centre !== null && design.centre < 0) throw new RangeError(`a time is zero or more, got ${design.centre}`);
  const transformed: Grouped = { ...data, values: data.values.map(nelsonTransform) };
  const centre = design.centre === null ? null : nelsonTransform(design.centre);
  const found = estimateLocation(transformed, { ...design, centre });
  if (!found.ok) return found;
  const { estimator, centre: middle, sigma } = found.value;
  const back = (y: number): number => Math.max(0, y) ** POWER;
  const upper = back(middle + design.k * sigma);
  if (!Number.isFinite(upper)) return outOfRange();
  const lines = { centre: back(middle), lower: back(middle - design.k * sigma), upper };
  return ok({ estimator, lines: { ...lines, sigma: (upper - lines.centre) / design.k } });
}

function exponentialLines(mean: number, design: ChartDesign): Outcome<WaitLines> {
  const tail = normalCdf(-design.k);
  const upper = -mean * Math.log(tail);
  if (!Number.isFinite(upper)) return outOfRange();
  const estimator = design.centre === null ? "exponential" : "given";
  const lines = { centre: exponentialQuantile(0.5, mean), sigma: mean, lower: exponentialQuantile(tail, mean), upper };
  return ok({ estimator, lines });
}

function outOfRange(): ReturnType<typeof refuse> {
  return refuse("not-finite", "the limits leave the range of numbers");
}
