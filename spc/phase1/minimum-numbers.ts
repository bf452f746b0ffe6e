import type { Caution } from "../model/drawn-chart.ts";

/** Subgroups, and values in them, from which limits are no longer provisional. */
const SUBGROUPS = 20;
const VALUES = 100;

/**
 * Minimum numbers: whether limits rest on enough to be more than provisional.
 *
 * @shape   `points`: plotted points used; `values`: single values in them, null for counts
 * @unit    counts
 * @method  `few-points` under 20 plotted points, or under 100 single values: 20 subgroups of five, 100 individuals
 * @cost    O(1)
 * @source  ISO 7870-2, AIAG SPC, Montgomery (all from memory): 20 to 25 subgroups and 100 values
 * @checked tests/unit/spc/phase1/phase-one.test.ts
 */
export function minimumNumbers(points: number, values: number | null): readonly Caution[] {
  const parts = [
    ...(points < SUBGROUPS ? [`${points} points, ${SUBGROUPS} or more are wanted`] : []),
    ...(values !== null && values < VALUES ? [`${values} values, ${VALUES} or more are wanted`] : []),
  ];
  return parts.length === 0 ? [] : [{ code: "few-points", text: `provisional limits: ${parts.join("; ")}` }];
}
