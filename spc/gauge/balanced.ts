import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";

/** Readings in two levels of groups, equally many everywhere: part, then appraiser; or run, then zone. */
export type Balanced = readonly (readonly (readonly number[])[])[];

export interface Sizes {
  readonly outer: number;
  readonly inner: number;
  readonly repeats: number;
}

/**
 * Sizes of a balanced study: how many outer groups, inner groups in each, and readings in each of those.
 *
 * @shape   finite readings; two or more at every level
 * @unit    dimensionless, counts
 * @method  checks only
 * @refuses too-few below two at any level; unbalanced when groups differ in size; zero-variation
 * @throws  RangeError for a reading that is no number: a defect in the caller
 * @cost    O(n)
 * @source  definition
 * @checked tests/unit/spc/gauge/gauge.test.ts
 */
export function balancedSizes(study: Balanced): Outcome<Sizes> {
  const outer = study.length;
  const inner = study[0]?.length ?? 0;
  const repeats = study[0]?.[0]?.length ?? 0;
  const readings = study.flat(2);
  for (const reading of readings) {
    if (!Number.isFinite(reading)) throw new RangeError(`a reading must be a number, got ${reading}`);
  }
  const alike = study.every((group) => group.length === inner && group.every((cell) => cell.length === repeats));
  if (!alike) return refuse("unbalanced", "every group must have equally many readings");
  const least = Math.min(outer, inner, repeats);
  if (least < 2) {
    return refuse("too-few", `a study needs two or more at every level, got ${outer}, ${inner}, ${repeats}`, {
      needs: 2,
      has: least,
    });
  }
  if (readings.every((reading) => reading === readings[0])) return refuse("zero-variation", "all readings are equal");
  return ok({ outer, inner, repeats });
}
