import type { Chart, Limits, Spacing } from "../model/chart.ts";
import type { LiveStage } from "./live-chart.ts";

/**
 * Live chart of single runs: individuals or their moving ranges, run by run.
 *
 * @shape   a chart of single values, its frozen limits or null; subgroups of one value, or none
 * @unit    that of the characteristic
 * @method  as the chart's own monitor
 * @throws  RangeError for a subgroup of several values: a defect in the caller
 * @cost    O(1) a point
 * @source  NIST/SEMATECH e-Handbook 6.3.2.2
 * @checked tests/unit/spc/charts/live-charts.test.ts
 */
export function singleLive(chart: Chart<Limits>, limits: Limits | null, spacing: Spacing): LiveStage {
  const monitor = chart.monitor(limits, spacing);
  return {
    initial: monitor.initial,
    step(before, { subgroup, atMs, values }) {
      const value = values.length === 0 ? null : chart.statistic(values);
      const { state, out } = monitor.step(before, { subgroup, atMs, value });
      return { state, out: out.map((point) => ({ point, sigma: null })) };
    },
  };
}
