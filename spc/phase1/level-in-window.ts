import type { LevelChange } from "../changepoint/unknown-levels.ts";
import { changePointUnknown } from "../changepoint/unknown-levels.ts";
import type { DrawnChart } from "../model/drawn-chart.ts";
import type { Outcome } from "../model/outcome.ts";

/** A change of level inside a window, told in places of its chart. */
export type WindowChange = Pick<LevelChange, "index" | "before" | "after" | "set" | "cautions">;

/**
 * Regimes in a window: whether its points run at two levels. Then the window is to be split at that place; leaving
 * points out would describe neither level.
 *
 * @shape   the location chart of the window; places without a point are passed over
 * @unit    places; levels that of the plotted statistic
 * @method  `changePointUnknown` of the points there are
 * @refuses as `changePointUnknown`
 * @cost    O(n)
 * @source  Sullivan and Woodall 1996, Technometrics 38:398-408 (from memory)
 * @checked tests/unit/spc/phase1/phase-one.test.ts
 */
export function levelInWindow(chart: DrawnChart): Outcome<WindowChange> {
  const values: number[] = [];
  const places: number[] = [];
  for (let place = 0; place < chart.values.length; place += 1) {
    const value = chart.values.at(place);
    if (value === null) continue;
    values.push(value);
    places.push(place);
  }
  const found = changePointUnknown(values);
  if (!found.ok) return found;
  const { index, before, after, set, cautions } = found.value;
  return { ok: true, value: { index: places[index]!, before, after, set: set.map((i) => places[i]!), cautions } };
}
