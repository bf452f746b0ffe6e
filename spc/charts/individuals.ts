import type { Chart, Limits, Spacing, Subgroup } from "../model/chart.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok } from "../model/outcome.ts";
import type { ChartPoint, Plotted } from "../model/point.ts";
import type { Stage } from "../model/stage.ts";
import { mean } from "../stats/moments.ts";
import { baselineValues } from "./baseline-values.ts";
import { chartPoint } from "./chart-point.ts";
import { movingRangeSigma } from "./moving-range-sigma.ts";

/** Half-width of the limits in sigma. */
export const INDIVIDUALS_K = 3;

/**
 * Individuals chart: single values against limits from their moving ranges.
 *
 * @unit    that of the characteristic
 * @source  NIST/SEMATECH e-Handbook 6.3.2.2; ISO 7870-2 (from memory)
 */
export const individuals: Chart<Limits> = {
  kind: "individuals",
  statistic: singleValue,
  estimate: individualsLimits,
  monitor: individualsMonitor,
};

/**
 * Single value: what a subgroup of one gives.
 *
 * @shape   one value
 * @unit    that of the characteristic
 * @throws  RangeError for any other count: a defect in the caller
 * @source  NIST/SEMATECH e-Handbook 6.3.2.2
 * @checked tests/unit/spc/charts/individuals.test.ts
 */
export function singleValue(values: readonly number[]): number {
  if (values.length !== 1) throw new RangeError(`a subgroup of one is needed, got ${values.length}`);
  return values[0]!;
}

/**
 * Phase 1 of an individuals chart: where single values lie while only common causes act.
 *
 * @shape   subgroups of one value in time order; one without values holds the place of a missing one
 * @unit    that of the characteristic
 * @method  mean, and three times mean MR / d2(2) to either side; never the overall s, which a step would widen
 * @refuses too-few, zero-variation, not-a-number
 * @throws  RangeError for subgroups of several values or out of time order: a defect in the caller
 * @cost    O(n)
 * @source  NIST/SEMATECH e-Handbook 6.3.2.2
 * @checked tests/reference/spc/charts/individuals.test.ts
 */
export function individualsLimits(baseline: readonly Subgroup[], spacing: Spacing): Outcome<Limits> {
  const found = baselineValues(baseline, spacing);
  if (!found.ok) return found;
  const { values, movingRanges } = found.value;
  return ok(linesAround(mean(values), movingRangeSigma(movingRanges).sigma));
}

/**
 * Lines around a centre: three sigma to either side.
 *
 * @shape   centre and sigma, finite, sigma above zero
 * @unit    that of the characteristic
 * @source  NIST/SEMATECH e-Handbook 6.3.2.2
 * @checked tests/reference/spc/charts/individuals.test.ts
 */
export function linesAround(centre: number, sigma: number): Limits {
  return { centre, lower: centre - INDIVIDUALS_K * sigma, upper: centre + INDIVIDUALS_K * sigma, sigma };
}

/**
 * Phase 2 of an individuals chart: each value against frozen limits; it remembers nothing.
 *
 * @shape   one value per subgroup, in time order, or null with its reason
 * @unit    that of the characteristic
 * @source  NIST/SEMATECH e-Handbook 6.3.2.2
 * @checked tests/unit/spc/charts/individuals.test.ts
 */
export function individualsMonitor(limits: Limits | null, _spacing: Spacing): Stage<unknown, Plotted, ChartPoint> {
  return {
    initial: null,
    step: (state, plotted) => ({ state, out: [chartPoint(plotted, plotted.value, limits)] }),
  };
}
