import type { ChartDesign } from "../model/chart-design.ts";
import type { Counted } from "../model/counted.ts";
import type { DrawnCharts } from "../model/drawn-chart.ts";
import { drawCounts } from "./count-chart.ts";

/**
 * u chart: faults for one unit of area, length or time, against what chance lets it be.
 *
 * @shape   faults by place, whole, and how much was looked at, which need not be whole
 * @unit    faults for one unit of size
 * @method  u -+ k sqrt(u / n), u = all faults over all that was looked at in the baseline, each place by its own n; cut at 0
 * @refuses too-few, zero-variation, spread-follows-centre, not-finite
 * @throws  RangeError for counts that cannot be: a defect in the caller
 * @cost    O(n)
 * @source  ISO 7870-2 (from memory)
 * @checked tests/unit/spc/attributes/count-chart.test.ts
 */
export function drawU(data: Counted, design: ChartDesign): DrawnCharts {
  return drawCounts(data, design, { kind: "u", law: "poisson", plots: "rate" });
}
