import type { Column } from "../model/column.ts";
import { columnOf } from "../model/column.ts";

/**
 * Cumulative deviation: the plain sum of how far values lie from a target; its slope shows the level to the eye.
 *
 * @shape   values by place, none where one is missing; a target
 * @unit    that of the values
 * @method  S_t = S_{t-1} + x_t - target from 0; a missing value has no sum and adds nothing. Compensated, so that a million
 *          values add up without drift
 * @throws  RangeError for a target that is no number: a defect in the caller
 * @cost    O(n), one number a place
 * @source  Page 1954, Biometrika 41:100-115 (from memory); NIST/SEMATECH e-Handbook 6.3.2.3
 * @checked tests/reference/spc/time-weighted/nist-cusum.test.ts
 */
export function cumulativeDeviation(values: Column, target: number): Column {
  if (!Number.isFinite(target)) throw new RangeError(`a target is a number, got ${target}`);
  const sums = new Float64Array(values.length).fill(Number.NaN);
  let sum = 0;
  let lost = 0;
  for (let i = 0; i < values.length; i += 1) {
    const value = values.at(i);
    if (value === null) continue;
    const step = value - target - lost;
    const next = sum + step;
    lost = next - sum - step;
    sum = next;
    sums[i] = sum;
  }
  return columnOf(sums);
}
