import type { ChartDesign } from "../model/chart-design.ts";
import type { Caution, DrawnCharts } from "../model/drawn-chart.ts";
import type { Span } from "../model/grouped.ts";
import type { Outcome } from "../model/outcome.ts";
import type { Estimates } from "../sigma/estimates.ts";
import type { SigmaEstimate } from "../sigma/location.ts";
import type { Lines, PlottedSeries } from "./lines.ts";
import { countThere, drawnChart, refusedChart } from "./lines.ts";

/** A series, and its lines once there is an estimate. */
export interface ChartPlan {
  readonly series: PlottedSeries;
  readonly lines: (estimate: SigmaEstimate) => Outcome<Lines>;
}

/**
 * A location chart with its spread chart: each with its lines, or with the reason why it has none.
 *
 * @shape   estimates for both, their plans, and the places whose spread points were used
 * @unit    that of the characteristic
 * @cost    O(m)
 * @source  ISO 7870-2 (from memory)
 * @checked tests/unit/spc/drawn-variables/designs.test.ts
 */
export function pairOfCharts(
  { location, within }: Estimates,
  design: ChartDesign,
  locationPlan: ChartPlan,
  spreadPlan: ChartPlan & { readonly used: Span },
  cautions: readonly Caution[] = [],
): DrawnCharts {
  const used = countThere(spreadPlan.series.values, spreadPlan.used);
  const one = (plan: ChartPlan, found: Outcome<SigmaEstimate>, n: (estimate: SigmaEstimate) => number) =>
    found.ok
      ? drawnChart(plan.series, design, found.value.estimator, n(found.value), plan.lines(found.value))
      : refusedChart(plan.series, design, found.refusal);
  return {
    charts: [one(locationPlan, location, ({ n }) => n), one(spreadPlan, within, () => used)],
    sigmaWithin: within.ok ? within.value.sigma : null,
    dfWithin: within.ok ? within.value.df : null,
    cautions: location.ok ? cautions : [],
  };
}

/**
 * Places whose moving ranges lie wholly in a baseline.
 *
 * @shape   a half-open span of places
 * @unit    dimensionless, places
 * @source  derived here: a range across the border would carry a point that was not meant
 * @checked tests/unit/spc/drawn-variables/designs.test.ts
 */
export function rangesWithin({ from, to }: Span): Span {
  return { from: Math.min(from + 1, to), to };
}
