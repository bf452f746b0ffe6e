import type { Limits } from "../model/chart.ts";
import type { ChartPoint, Plotted } from "../model/point.ts";
import { judge } from "../model/point.ts";

/**
 * Chart point: one plotted statistic beside its lines, judged.
 *
 * @shape   the place on the axis, the statistic or null, the lines or null while there are none
 * @unit    that of the characteristic
 * @method  above or below when strictly beyond a line, within on it; not-evaluable without a finite value or lines
 * @source  strictness: NIST/SEMATECH e-Handbook 6.3.3.1, where a wafer exactly on its limit is no signal
 * @checked tests/unit/spc/charts/individuals.test.ts
 */
export function chartPoint(plotted: Plotted, statistic: number | null, limits: Limits | null): ChartPoint {
  const value = statistic !== null && Number.isFinite(statistic) ? statistic : null;
  return {
    subgroup: plotted.subgroup,
    value,
    centre: limits?.centre ?? null,
    lower: limits?.lower ?? null,
    upper: limits?.upper ?? null,
    verdict: value === null || limits === null ? "not-evaluable" : judge(value, limits.lower, limits.upper),
  };
}
