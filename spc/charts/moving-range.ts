import { d2 } from "../factors/d2.ts";
import { d3 } from "../factors/d3.ts";
import type { Chart, Limits, Spacing, Subgroup } from "../model/chart.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok } from "../model/outcome.ts";
import type { ChartPoint, Plotted } from "../model/point.ts";
import type { Stage, Step } from "../model/stage.ts";
import { baselineValues } from "./baseline-values.ts";
import { chartPoint } from "./chart-point.ts";
import { isGap } from "./gap.ts";
import { INDIVIDUALS_K, singleValue } from "./individuals.ts";
import { movingRangeSigma } from "./moving-range-sigma.ts";

/**
 * Moving-range chart: the spread beside single values.
 *
 * @unit    that of the characteristic
 * @source  NIST/SEMATECH e-Handbook 6.3.2.2; ISO 7870-2 (from memory)
 */
export const movingRange: Chart<Limits> = {
  kind: "moving-range",
  statistic: singleValue,
  estimate: movingRangeLimits,
  monitor: movingRangeMonitor,
};

/** The point before, if it had a value. */
interface MovingRangeState {
  readonly before: { readonly atMs: number; readonly value: number } | null;
}

/**
 * Phase 1 of a moving-range chart: how far neighbouring values may lie apart while only common causes act.
 *
 * @shape   subgroups of one value in time order; one without values holds the place of a missing one
 * @unit    that of the characteristic
 * @method  0, mean MR, and (1 + 3 d3(2)/d2(2)) mean MR = 3.2665 mean MR; sigma is that of the range itself
 * @refuses too-few, zero-variation, not-a-number
 * @throws  RangeError for subgroups of several values or out of time order: a defect in the caller
 * @cost    O(n)
 * @source  NIST/SEMATECH e-Handbook 6.3.2.2
 * @checked tests/reference/spc/charts/individuals.test.ts
 */
export function movingRangeLimits(baseline: readonly Subgroup[], spacing: Spacing): Outcome<Limits> {
  const found = baselineValues(baseline, spacing);
  if (!found.ok) return found;
  const centre = movingRangeSigma(found.value.movingRanges).meanRange;
  const sigma = (centre * d3(2)) / d2(2);
  return ok({ centre, lower: 0, upper: centre + INDIVIDUALS_K * sigma, sigma });
}

/**
 * Phase 2 of a moving-range chart: each step from one value to the next against frozen limits.
 *
 * @shape   one value per subgroup, in time order, or null with its reason
 * @unit    that of the characteristic
 * @method  |x - x before|; none where either is missing or more than three expected intervals lie between
 * @cost    O(1) a point; remembers one point
 * @source  NIST/SEMATECH e-Handbook 6.3.2.2; treatment of gaps: common practice, no source
 * @checked tests/unit/spc/charts/moving-range.test.ts
 */
export function movingRangeMonitor(limits: Limits | null, spacing: Spacing): Stage<unknown, Plotted, ChartPoint> {
  const initial: MovingRangeState = { before: null };
  return {
    initial,
    step(state, plotted): Step<MovingRangeState, ChartPoint> {
      // A checkpoint hands back what this stage gave; `Stage<unknown>` only hides it from whoever runs it.
      const { before } = state as MovingRangeState;
      const { value, atMs } = plotted;
      const there = value !== null && Number.isFinite(value);
      const bridged = before === null || isGap(before.atMs, atMs, spacing.everyMs);
      const range = there && !bridged ? Math.abs(value - before.value) : null;
      return {
        state: { before: there ? { atMs, value } : null },
        out: [chartPoint(plotted, range, limits)],
      };
    },
  };
}
