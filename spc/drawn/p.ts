import type { ChartDesign } from "../model/chart-design.ts";
import type { Counted } from "../model/counted.ts";
import type { DrawnCharts } from "../model/drawn-chart.ts";
import { drawCounts } from "./count-chart.ts";

/**
 * p chart: the share of pieces that are bad, sample by sample, against what chance lets it be.
 *
 * @shape   bad pieces and pieces by place, whole; samples may differ in size
 * @unit    dimensionless, 0 to 1
 * @method  p -+ k sqrt(p (1 - p) / n), p = all bad over all pieces of the baseline, each place by its own n; cut at 0 and 1
 * @refuses too-few, zero-variation, spread-follows-centre
 * @throws  RangeError for counts that cannot be: a defect in the caller
 * @cost    O(n)
 * @source  NIST/SEMATECH e-Handbook 6.3.3.2
 * @checked tests/reference/spc/attributes/p.test.ts
 */
export function drawP(data: Counted, design: ChartDesign): DrawnCharts {
  return drawCounts(data, design, { kind: "p", law: "binomial", plots: "rate" });
}
