import { normalCdf } from "../library/normal.ts";
import type { ChartDesign } from "../model/chart-design.ts";
import type { DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import type { WaitLines } from "./count-waits.ts";
import { meanWait, waitChart, waitSeries } from "./count-waits.ts";

/**
 * g chart: how many good units lie between one event and the next, against what chance lets them be.
 *
 * @shape   units strictly between two events, whole, 0 and up; an empty subgroup keeps its place
 * @unit    units
 * @method  sigma: g -+ k sqrt(g (g + 1)) about the mean g, cut at 0; judged by its limits alone, as two thirds of the
 *          points lie below the mean. exact: the smallest whole U with P(X > U) <= alpha / 2 and the largest L with
 *          P(X < L) <= alpha / 2 of the geometric with p = 1 / (g + 1), about the median, so that patterns count
 * @refuses too-few, zero-variation, spread-follows-centre, not-finite
 * @throws  RangeError for units that are negative or not whole: a defect in the caller
 * @cost    O(n)
 * @source  Kaminsky, Benneyan, Davis and Burke 1992, Journal of Quality Technology 24:63-69; Benneyan 2001 (from memory)
 * @checked tests/reference/spc/rare/waits.test.ts
 */
export function drawG(data: Grouped, design: ChartDesign): DrawnCharts {
  const series = waitSeries(data, design, "g", design.limits === "exact" ? "first-four" : "limit");
  for (const units of data.values)
    if (!Number.isSafeInteger(units)) throw new RangeError(`units between events are whole, got ${units}`);
  const mean = meanWait(series, design);
  return waitChart(series, design, mean.ok ? geometricLines(mean.value, design) : mean);
}

/**
 * Quantile of units between events, as if they were continuous.
 *
 * @shape   a share above 0 and below 1; the chance of the event at one unit, above 0 and below 1
 * @unit    units
 * @method  x with 1 - (1 - p)^(x + 1) = share
 * @throws  RangeError for a share or chance out of range: a defect in the caller
 * @source  geometric distribution function, Benneyan 2001 (from memory)
 * @checked tests/reference/spc/rare/waits.test.ts
 */
export function geometricQuantile(share: number, p: number): number {
  if (!(share > 0 && share < 1 && p > 0 && p < 1))
    throw new RangeError(`a geometric quantile needs shares between 0 and 1, got ${share}, ${p}`);
  return Math.log1p(-share) / Math.log1p(-p) - 1;
}

function geometricLines(mean: number, design: ChartDesign): Outcome<WaitLines> {
  const p = 1 / (mean + 1);
  const sigma = Math.sqrt(mean) * Math.sqrt(mean + 1);
  const estimator = design.centre === null ? "geometric" : "given";
  if (design.limits === "sigma") {
    const lower = Math.max(0, mean - design.k * sigma);
    const upper = mean + design.k * sigma;
    if (!Number.isFinite(upper)) return refuse("not-finite", "the limits leave the range of numbers");
    return ok({ estimator, lines: { centre: mean, sigma, lower, upper } });
  }
  const tail = normalCdf(-design.k);
  // P(X > U) = (1 - p)^(U + 1) and P(X < L) = 1 - (1 - p)^L, each at most the tail.
  const upper = Math.ceil(geometricQuantile(1 - tail, p) - 1e-9);
  const lower = Math.max(0, Math.floor(geometricQuantile(tail, p) + 1 + 1e-9));
  return ok({ estimator, lines: { centre: Math.max(0, geometricQuantile(0.5, p)), sigma, lower, upper } });
}
