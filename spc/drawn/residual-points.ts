import type { Grouped } from "../model/grouped.ts";
import { finiteOnes } from "../stats/finite.ts";

/**
 * Points as single values: a statistic that was had from others, charted in its own right.
 *
 * @shape   points by place, NaN for none; places before which memory ends
 * @unit    that of the points
 * @cost    O(m), a copy
 * @source  derived here
 * @checked tests/unit/spc/time-weighted/residual.test.ts
 */
export function pointsAsSingles(points: Float64Array, anew: readonly number[]): Grouped {
  const starts = new Uint32Array(points.length + 1);
  for (let i = 0; i < points.length; i += 1) starts[i + 1] = starts[i]! + (Number.isFinite(points[i]!) ? 1 : 0);
  return { values: finiteOnes(points), starts, anew };
}
