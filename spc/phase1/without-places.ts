import { columnOf } from "../model/column.ts";
import type { Counted } from "../model/counted.ts";
import type { Grouped } from "../model/grouped.ts";
import { subgroupCount } from "../model/grouped.ts";

/**
 * Grouped values without some subgroups: each left out keeps its place and is empty, so that nothing bridges it. Without
 * place i an individuals chart loses the moving ranges i and i + 1, and makes none from i - 1 to i + 1.
 *
 * @shape   consecutive subgroups; `exclude`: places to empty, in any order
 * @unit    that of the values
 * @method  the values of those subgroups are left out, all places stay
 * @throws  RangeError for a place that does not exist: a defect in the caller
 * @cost    O(n), one copy
 * @source  derived here
 * @checked tests/unit/spc/phase1/phase-one.test.ts
 */
export function withoutPlaces(data: Grouped, exclude: readonly number[]): Grouped {
  const count = subgroupCount(data);
  checkPlaces(exclude, count);
  const out = new Set(exclude);
  const starts = new Uint32Array(count + 1);
  const values = new Float64Array(data.values.length);
  let kept = 0;
  for (let place = 0; place < count; place += 1) {
    const members = data.values.subarray(data.starts[place]!, data.starts[place + 1]!);
    if (!out.has(place)) {
      values.set(members, kept);
      kept += members.length;
    }
    starts[place + 1] = kept;
  }
  return { ...data, values: values.slice(0, kept), starts };
}

/**
 * Counts without some samples: each left out keeps its place and holds no count.
 *
 * @shape   counts by place; `exclude`: places to empty, in any order
 * @unit    that of the counts
 * @method  the counts of those places become none, their sizes stay
 * @throws  RangeError for a place that does not exist: a defect in the caller
 * @cost    O(n), one copy
 * @source  derived here
 * @checked tests/reference/spc/phase1/orange-juice.test.ts
 */
export function countedWithout(data: Counted, exclude: readonly number[]): Counted {
  const { length } = data.counts;
  checkPlaces(exclude, length);
  const kept = new Float64Array(length).map((_, place) => data.counts.at(place) ?? Number.NaN);
  for (const place of exclude) kept[place] = Number.NaN;
  return { ...data, counts: columnOf(kept) };
}

function checkPlaces(exclude: readonly number[], count: number): void {
  for (const place of exclude) {
    if (!(Number.isInteger(place) && place >= 0 && place < count)) {
      throw new RangeError(`place ${place} cannot be left out, there are ${count}`);
    }
  }
}
