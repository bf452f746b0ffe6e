import type { Grouped } from "../model/grouped.ts";
import { subgroupCount } from "../model/grouped.ts";

/**
 * Subgroup ranges: largest less smallest value of each subgroup.
 *
 * @shape   grouped finite values; none (NaN) where a subgroup has fewer than two
 * @unit    that of the characteristic
 * @cost    O(n)
 * @source  ISO 7870-2 (from memory)
 * @checked tests/reference/spc/drawn-variables/averages.test.ts
 */
export function subgroupRanges(data: Grouped): Float64Array {
  const { values, starts } = data;
  const count = subgroupCount(data);
  const ranges = new Float64Array(count);
  for (let i = 0; i < count; i += 1) {
    const from = starts[i]!;
    const to = starts[i + 1]!;
    if (to - from < 2) {
      ranges[i] = Number.NaN;
      continue;
    }
    let least = values[from]!;
    let most = least;
    for (let j = from + 1; j < to; j += 1) {
      const value = values[j]!;
      if (value < least) least = value;
      else if (value > most) most = value;
    }
    ranges[i] = most - least;
  }
  return ranges;
}
