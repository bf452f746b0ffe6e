import type { Dependence } from "../charts/ewma-width.ts";
import type { ChartDesign } from "../model/chart-design.ts";
import { columnOf } from "../model/column.ts";
import type { Caution } from "../model/drawn-chart.ts";
import { fitAr1 } from "../stats/ar1.ts";
import type { Beside } from "./ewma-beside.ts";

/**
 * Caution where neighbours depend on each other and the limits do not know it.
 *
 * @shape   what the chart is called, the design, the pair beside it
 * @unit    dimensionless
 * @method  lag-1 autocorrelation of the baseline's points outside its band of 95 %
 * @cost    O(n)
 * @source  Box and Jenkins 1970 (from memory)
 * @checked tests/unit/spc/time-weighted/ewma.test.ts
 */
export function dependenceCaution(chart: string, { baseline }: ChartDesign, { means }: Beside): readonly Caution[] {
  const fit = fitAr1(columnOf(means.subarray(baseline.from, baseline.to)));
  if (!fit.ok || !fit.value.significant) return [];
  const often = fit.value.phi > 0 ? "far too often" : "too seldom";
  const text = `neighbours depend on each other (${fit.value.phi.toFixed(2)}): ${chart} signals ${often} by chance`;
  return [{ code: "autocorrelated", text }];
}

/**
 * Caution where limits were widened because neighbours depend on each other.
 *
 * @shape   the frozen dependence, with a share above zero
 * @unit    dimensionless
 * @source  derived here
 * @checked tests/unit/spc/time-weighted/ewma.test.ts
 */
export function widenedCaution({ share, phi }: Dependence): Caution {
  const part = `${Math.round(100 * share)} % of the variance carries over to the next point by ${phi.toFixed(2)}`;
  return { code: "widened-for-dependence", text: `limits are wider because ${part}` };
}
