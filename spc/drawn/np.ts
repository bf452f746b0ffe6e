import type { ChartDesign } from "../model/chart-design.ts";
import type { Counted } from "../model/counted.ts";
import type { DrawnCharts } from "../model/drawn-chart.ts";
import { drawCounts } from "./count-chart.ts";

/**
 * np chart: how many pieces are bad, in samples of one size, against what chance lets it be.
 *
 * @shape   bad pieces and pieces by place, whole; every sample of the same size
 * @unit    pieces
 * @method  n p -+ k sqrt(n p (1 - p)), cut at 0 and n
 * @refuses unequal-sizes, too-few, zero-variation, spread-follows-centre
 * @throws  RangeError for counts that cannot be: a defect in the caller
 * @cost    O(n)
 * @source  ISO 7870-2 (from memory)
 * @checked tests/reference/spc/attributes/p.test.ts
 */
export function drawNp(data: Counted, design: ChartDesign): DrawnCharts {
  return drawCounts(data, design, { kind: "np", law: "binomial", plots: "count" });
}
