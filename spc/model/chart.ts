import type { Outcome } from "./outcome.ts";
import type { ChartPoint, Plotted } from "./point.ts";
import type { Stage } from "./stage.ts";

/** Lines of one plotted statistic, in the characteristic's unit; `sigma` is the statistic's own. */
export interface Limits {
  readonly centre: number;
  readonly lower: number;
  readonly upper: number;
  readonly sigma: number;
}

/** A rational subgroup: runs judged together. Without values it only holds its place. */
export interface Subgroup {
  readonly index: number;
  readonly atMs: number;
  readonly runs: readonly string[];
  readonly values: readonly number[];
  /** Of a single run: what was set up when it ran, such as its part and tool. Left out, nothing ever changes. */
  readonly setting?: string;
}

/** How long a silence between points may be before memory is dropped. */
export interface Spacing {
  /** Expected time from one point to the next. */
  readonly everyMs: number;
}

/**
 * One kind of control chart: one statistic, and one verb for each phase. A pair is two charts over one baseline.
 * `L` is what Phase 1 freezes; it always carries the drawn lines.
 */
export interface Chart<L extends Limits> {
  readonly kind: string;
  /** What one subgroup by itself gives: its value, mean, range. What needs earlier ones is the monitor's. */
  statistic(values: readonly number[]): number;
  /** Phase 1: limits from baseline subgroups in time order, or why there are none. */
  estimate(baseline: readonly Subgroup[], spacing: Spacing): Outcome<L>;
  /** Phase 2: judges each new statistic against limits that no longer move; without limits it is plotted, not judged. */
  monitor(limits: L | null, spacing: Spacing): Stage<unknown, Plotted, ChartPoint>;
}
