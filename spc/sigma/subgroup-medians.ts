import type { Grouped } from "../model/grouped.ts";
import { subgroupCount } from "../model/grouped.ts";
import { checkFinite } from "./subgroup-moments.ts";

/**
 * Subgroup medians: the middle value of each subgroup, or the mean of the middle two.
 *
 * @shape   grouped finite values; an empty subgroup gives NaN
 * @unit    that of the characteristic
 * @throws  RangeError for a value that is no finite number: a defect in the caller
 * @cost    O(n log of the largest subgroup)
 * @source  NIST/SEMATECH e-Handbook 1.3.5.1 (from memory)
 * @checked tests/reference/spc/drawn-variables/averages.test.ts
 */
export function subgroupMedians(data: Grouped): Float64Array {
  const { values, starts } = data;
  checkFinite(values);
  const medians = new Float64Array(subgroupCount(data));
  for (let i = 0; i < medians.length; i += 1) {
    const sorted = values.slice(starts[i]!, starts[i + 1]!).sort();
    const n = sorted.length;
    const low = sorted[(n - 1) >> 1] ?? Number.NaN;
    // Half of each, so that the sum of two large ones stays a number; exact where both are the same.
    medians[i] = n % 2 === 1 ? low : low + ((sorted[n >> 1] ?? Number.NaN) / 2 - low / 2);
  }
  return medians;
}
