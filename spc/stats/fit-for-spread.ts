import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { sortedCopy } from "./quantile-definitions.ts";

/**
 * Sorted values that have a spread.
 *
 * @shape   finite values, in any order
 * @unit    that of the values
 * @method  a sorted copy
 * @refuses too-few under two; zero-variation when all are equal
 * @throws  RangeError for values that are not finite: a defect in the caller
 * @cost    O(n log n)
 * @source  derived here
 * @checked tests/unit/spc/stats/robust.test.ts
 */
export function sortedWithSpread(values: ArrayLike<number>): Outcome<Float64Array> {
  const n = values.length;
  if (n < 2) return refuse("too-few", "too few values for a spread", { needs: 2, has: n });
  const sorted = sortedCopy(values);
  return sorted[0] === sorted[n - 1] ? refuse("zero-variation", "all values are equal", { has: n }) : ok(sorted);
}
