import type { ChartDesign } from "../model/chart-design.ts";
import type { Counted } from "../model/counted.ts";
import type { DrawnCharts } from "../model/drawn-chart.ts";
import { drawCounts } from "./count-chart.ts";

/**
 * c chart: how many faults are found, where as many could be each time, against what chance lets it be.
 *
 * @shape   faults by place, whole; sizes all the same
 * @unit    faults
 * @method  c -+ k sqrt(c), c the mean count of the baseline; cut at 0
 * @refuses unequal-sizes, too-few, zero-variation, spread-follows-centre
 * @throws  RangeError for counts that cannot be: a defect in the caller
 * @cost    O(n)
 * @source  NIST/SEMATECH e-Handbook 6.3.3.1
 * @checked tests/unit/spc/attributes/wafers.test.ts
 */
export function drawC(data: Counted, design: ChartDesign): DrawnCharts {
  return drawCounts(data, design, { kind: "c", law: "poisson", plots: "count" });
}
