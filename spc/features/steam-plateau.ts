import { type Outcome, ok, refuse } from "../model/outcome.ts";
import { median, quantile } from "../stats/quantile.ts";
import type { Reading } from "./readings.ts";

/** Share of the segment's readings that must lie on the plateau. Our own choice: a ramp gives 12 %, a lagging line 44 %. */
const leastShare = 0.25;

/**
 * Level of the top of a steam step.
 *
 * @shape   readings of the autoclave segment
 * @unit    that of the readings
 * @method  median of the readings above 90 % of their 98th percentile: neither diluted by the rise nor led by a spike
 * @refuses `no-plateau` when there is no pressure, or fewer than a quarter of the readings lie there
 * @cost    O(n log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/mold.test.ts
 */
export function steamPlateau(readings: readonly Reading[]): Outcome<number> {
  const values = readings.map(({ value }) => value);
  const high = values.length === 0 ? 0 : quantile(values, 0.98);
  const top = values.filter((value) => value > 0.9 * high);
  if (!(high > 0)) return refuse("no-plateau", "there is no pressure in the autoclave segment");
  const needs = Math.max(5, Math.ceil(leastShare * values.length));
  if (top.length < needs) {
    const detail = `only ${top.length} of ${values.length} readings lie near the top of the autoclave segment`;
    return refuse("no-plateau", detail, { needs, has: top.length });
  }
  return ok(median(top));
}
