/** Values closer than this, relative to the largest, are one value written twice. */
const SAME = 1e-9;

/**
 * Distinct values: whether an instrument resolves the process at all.
 *
 * @shape   finite values, in any order
 * @unit    dimensionless, a count
 * @method  sorted, a new one counts when it lies more than 1e-9 of the largest magnitude above the last that counted
 * @cost    O(n log n)
 * @source  derived here: 0.3 - 0.2 and 0.2 - 0.1 must count once
 * @checked tests/unit/spc/stats/distinct.test.ts
 */
export function distinctValues(values: ArrayLike<number>): number {
  const sorted = new Float64Array(values).sort();
  let largest = 0;
  for (const value of sorted) largest = Math.max(largest, Math.abs(value));
  let count = 0;
  let last = Number.NEGATIVE_INFINITY;
  for (const value of sorted) {
    if (value - last <= SAME * largest) continue;
    count += 1;
    last = value;
  }
  return count;
}
