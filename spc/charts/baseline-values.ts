import type { Spacing, Subgroup } from "../model/chart.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { isGap } from "./gap.ts";

/** Values below which limits are refused; ISO and textbooks ask for 20 to 25 subgroups (from memory). */
export const LEAST_VALUES = 25;

/** Moving ranges below which they are refused: 25 values with a few gaps. */
const LEAST_RANGES = 20;
/** Squares of larger values, or of smaller differences than its inverse, leave the range of numbers. */
export const LARGEST = 1e150;

/** A baseline of single values, in time order. */
export interface BaselineValues {
  /** One place each: null where a value is missing, and one more null wherever the axis has a gap or another part ran. */
  readonly places: readonly (number | null)[];
  readonly values: readonly number[];
  /** Of neighbours in `places` that are both there. */
  readonly movingRanges: readonly number[];
}

/**
 * Baseline values: single values as charts, autocorrelation and capability all have to see them, gaps held open.
 *
 * @shape   subgroups of one value in time order; one without values holds the place of a missing one
 * @unit    that of the characteristic
 * @method  a moving range needs both neighbours, of one setting and no further than three expected intervals apart; none
 *          is bridged
 * @refuses not-a-number when a value is not finite or above 1e150; too-few under 25 values or 20
 *          moving ranges; zero-variation when all values, or all neighbours, are equal
 * @throws  RangeError for subgroups of several values or out of time order: a defect in the caller
 * @cost    O(n)
 * @source  NIST/SEMATECH e-Handbook 6.3.2.2; treatment of gaps: common practice, no source
 * @checked tests/unit/spc/charts/baseline-values.test.ts
 */
export function baselineValues(baseline: readonly Subgroup[], spacing: Spacing): Outcome<BaselineValues> {
  const places: (number | null)[] = [];
  let before: Subgroup | undefined;
  for (const subgroup of baseline) {
    const { values, atMs } = subgroup;
    if (values.length > 1) throw new RangeError(`individuals need subgroups of one value, got ${values.length}`);
    if (before !== undefined && atMs < before.atMs)
      throw new RangeError("a baseline needs its subgroups in time order");
    if (before !== undefined && (before.setting !== subgroup.setting || isGap(before.atMs, atMs, spacing.everyMs)))
      places.push(null);
    places.push(values[0] ?? null);
    before = subgroup;
  }
  const values = places.filter((value) => value !== null);
  if (!values.every((value) => Math.abs(value) < LARGEST)) {
    return refuse("not-a-number", "a value is no finite number, or too large to be squared");
  }
  if (values.length < LEAST_VALUES) {
    const counts = { needs: LEAST_VALUES, has: values.length };
    return refuse("too-few", `${LEAST_VALUES} values are needed, ${values.length} are there`, counts);
  }
  if (isConstant(values)) {
    return refuse("zero-variation", "all values are equal, so the instrument or the feature is stuck");
  }
  const movingRanges = places.flatMap((value, i) => {
    const earlier = places[i - 1];
    return value !== null && earlier != null ? [Math.abs(value - earlier)] : [];
  });
  if (movingRanges.length < LEAST_RANGES) {
    const detail = `${LEAST_RANGES} steps from one value to the next are needed, gaps and changes leave ${movingRanges.length}`;
    return refuse("too-few", detail, { needs: LEAST_RANGES, has: movingRanges.length });
  }
  if (movingRanges.every((range) => range === 0)) {
    return refuse("zero-variation", "no value differs from the one before it");
  }
  return ok({ places, values, movingRanges });
}

/** Variation within the last bits of the numbers is none, nor is any that squares to nothing. */
function isConstant(values: readonly number[]): boolean {
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    least = Math.min(least, value);
    most = Math.max(most, value);
  }
  return most - least <= Math.max(1e-12 * Math.max(Math.abs(least), Math.abs(most)), 1 / LARGEST);
}
