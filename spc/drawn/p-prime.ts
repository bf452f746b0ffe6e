import type { ChartDesign } from "../model/chart-design.ts";
import type { Counted } from "../model/counted.ts";
import type { DrawnCharts } from "../model/drawn-chart.ts";
import type { LaneyOptions } from "./count-laney.ts";
import { drawLaney } from "./count-laney.ts";

/**
 * p' chart: the share of bad pieces in samples so large that chance alone explains hardly anything.
 *
 * @shape   bad pieces and pieces by place, whole; samples may differ in size; a given sigma is that of z
 * @unit    dimensionless, 0 to 1
 * @method  p -+ k sigma_z sqrt(p (1 - p) / n), cut at 0 and 1. Meant for hundreds of pieces a sample: from few, small
 *          samples sigma_z takes real shifts for noise
 * @refuses too-few, zero-variation, no-exact-limits
 * @throws  RangeError for counts that cannot be: a defect in the caller
 * @cost    O(n)
 * @source  Laney 2002, Quality Engineering 14:531-537 (formula seen on secondary pages)
 * @checked tests/reference/spc/attributes/laney.test.ts
 */
export function drawPPrime(data: Counted, design: ChartDesign, options: LaneyOptions = {}): DrawnCharts {
  return drawLaney(data, design, "binomial", options);
}
