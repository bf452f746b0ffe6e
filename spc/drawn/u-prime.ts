import type { ChartDesign } from "../model/chart-design.ts";
import type { Counted } from "../model/counted.ts";
import type { DrawnCharts } from "../model/drawn-chart.ts";
import type { LaneyOptions } from "./count-laney.ts";
import { drawLaney } from "./count-laney.ts";

/**
 * u' chart: faults for one unit of size, where so much is looked at that chance alone explains hardly anything.
 *
 * @shape   faults by place, whole, and how much was looked at; a given sigma is that of z
 * @unit    faults for one unit of size
 * @method  u -+ k sigma_z sqrt(u / n), cut at 0
 * @refuses too-few, zero-variation, not-finite, no-exact-limits
 * @throws  RangeError for counts that cannot be: a defect in the caller
 * @cost    O(n)
 * @source  Laney 2002, Quality Engineering 14:531-537 (formula seen on secondary pages)
 * @checked tests/property/spc/attributes/laney.test.ts
 */
export function drawUPrime(data: Counted, design: ChartDesign, options: LaneyOptions = {}): DrawnCharts {
  return drawLaney(data, design, "poisson", options);
}
