import type { Caution } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import { betweenWithinFrom } from "./between-within.ts";

/** Chance below which averages that vary too much are no accident, and the ratio from which it matters. */
const SMALL_CHANCE = 0.01;
const MATTERS = 1.5;

/**
 * Caution of averages whose limits rest on the spread within subgroups while something acts between them as well.
 *
 * @shape   a baseline in its own right, the means and standard deviations of its subgroups, and the mean of all values
 *          where it is known
 * @unit    dimensionless
 * @method  `between-subgroups` where mean square between over within is 1.5 or more and chance gives as much in fewer
 *          than 1 of 100: at 1.5 three-sigma limits signal five times as often as they should
 * @cost    O(m)
 * @source  NIST/SEMATECH e-Handbook 6.6.1; thresholds: common practice, no source
 * @checked tests/reference/spc/drawn-variables/three-way.test.ts
 */
export function betweenCautions(
  baseline: Grouped,
  means: Float64Array,
  sds: Float64Array,
  grand: number | null = null,
): readonly Caution[] {
  const found = betweenWithinFrom(baseline, means, sds, grand);
  if (!found.ok || found.value.ratio < MATTERS || found.value.p >= SMALL_CHANCE) return [];
  const ratio = found.value.ratio.toPrecision(3);
  const text = `averages vary ${ratio} times as much (as variances) as the spread within subgroups explains, so limits from within signal too often: draw averages, their moving ranges and the spread within (three-way)`;
  return [{ code: "between-subgroups", text }];
}
