import type { ChartPoint } from "../model/point.ts";
import type { Stage } from "../model/stage.ts";

/** One subgroup on its way to a chart. */
export interface SubgroupPlace {
  readonly subgroup: number;
  readonly atMs: number;
  /** Finite values of its runs; none where the subgroup only holds its place. */
  readonly values: readonly number[];
}

/** A judged point with its own sigma, where that differs from point to point. */
export interface LivePoint {
  readonly point: ChartPoint;
  /** Of the plotted statistic; null where it is that of the limits, or there are none. */
  readonly sigma: number | null;
}

/** Phase 2 of one chart of a pair. What it remembers is plain JSON and belongs to one set of limits. */
export type LiveStage = Stage<unknown, SubgroupPlace, LivePoint>;
