import type { Grouped } from "../model/grouped.ts";
import { subgroupCount } from "../model/grouped.ts";

/** Mean and standard deviation of every subgroup, and what sizes there are. Places without a number hold NaN. */
export interface SubgroupMoments {
  /** None where the subgroup is empty. */
  readonly means: Float64Array;
  /** With n - 1; none where the subgroup has fewer than two values. */
  readonly sds: Float64Array;
}

/**
 * Subgroup moments: mean and standard deviation of each subgroup.
 *
 * @shape   grouped finite values; empty subgroups and subgroups of one keep their place
 * @unit    that of the characteristic
 * @method  corrected two-pass over differences from the subgroup's own first value, so that 10,000,000.1 keeps its
 *          digits; written as one loop over typed arrays because a million subgroups pass through it
 * @throws  RangeError for a value that is no finite number: a defect in the caller
 * @cost    O(n); two numbers a subgroup
 * @source  Chan, Golub, LeVeque 1983, The American Statistician 37:242-247 (from memory)
 * @checked tests/reference/spc/drawn-variables/averages.test.ts
 */
export function subgroupMoments(data: Grouped): SubgroupMoments {
  const { values, starts } = data;
  const count = subgroupCount(data);
  const means = new Float64Array(count);
  const sds = new Float64Array(count);
  // Stays zero as long as all is finite.
  let check = 0;
  let to = starts[0]!;
  for (let i = 0; i < count; i += 1) {
    const from = to;
    to = starts[i + 1]!;
    const n = to - from;
    if (n === 0) {
      means[i] = Number.NaN;
      sds[i] = Number.NaN;
      continue;
    }
    const first = values[from]!;
    let sum = 0;
    for (let j = from + 1; j < to; j += 1) sum += values[j]! - first;
    const shift = sum / n;
    const mean = first + shift;
    means[i] = mean;
    check += mean * 0;
    if (n === 1) {
      sds[i] = Number.NaN;
      continue;
    }
    let squares = 0;
    let rest = 0;
    for (let j = from; j < to; j += 1) {
      const d = values[j]! - first - shift;
      squares += d * d;
      rest += d;
    }
    const within = squares - (rest * rest) / n;
    sds[i] = within <= 0 ? 0 : Math.sqrt(within / (n - 1));
    check += sds[i]! * 0;
  }
  if (check !== 0) {
    checkFinite(values);
    markOverflow(means, sds, starts);
  }
  return { means, sds };
}

/**
 * Subgroup averages: the mean of each subgroup alone.
 *
 * @shape   grouped finite values; an empty subgroup gives NaN. Where every subgroup holds one value, they are the
 *          values themselves and no copy
 * @unit    that of the characteristic
 * @throws  RangeError for a value that is no finite number: a defect in the caller
 * @cost    O(n)
 * @source  NIST/SEMATECH e-Handbook 6.3.2.1 (from memory)
 * @checked tests/reference/spc/drawn-variables/averages.test.ts
 */
export function subgroupAverages(data: Grouped): Float64Array {
  const { values, starts } = data;
  const count = subgroupCount(data);
  const { largest, smallest } = subgroupSizes(starts);
  if (values.length === count && largest === 1 && smallest === 1) {
    checkFinite(values);
    return values;
  }
  const means = new Float64Array(count);
  for (let i = 0; i < count; i += 1) {
    const from = starts[i]!;
    const to = starts[i + 1]!;
    const first = from < to ? values[from]! : Number.NaN;
    let sum = 0;
    for (let j = from + 1; j < to; j += 1) sum += values[j]! - first;
    means[i] = first + sum / Math.max(to - from, 1);
  }
  checkFinite(values);
  markOverflow(means, means, starts);
  return means;
}

/** Statistics that left the range of numbers are infinite, so that nobody takes them for missing ones. */
function markOverflow(means: Float64Array, sds: Float64Array, starts: Uint32Array): void {
  for (let i = 0; i < means.length; i += 1) {
    const n = starts[i + 1]! - starts[i]!;
    if (n > 0 && Number.isNaN(means[i]!)) means[i] = Number.POSITIVE_INFINITY;
    if (n > 1 && Number.isNaN(sds[i]!)) sds[i] = Number.POSITIVE_INFINITY;
  }
}

/** What sizes subgroups have, empty ones left out; 0 and 0 where all are empty. */
export interface SubgroupSizes {
  readonly starts: Uint32Array;
  readonly smallest: number;
  readonly largest: number;
}

/**
 * Subgroup sizes: the smallest and the largest, empty subgroups left out.
 *
 * @shape   starts of subgroups, or a part of them
 * @unit    dimensionless, counts
 * @cost    O(m)
 * @source  derived here
 * @checked tests/unit/spc/sigma/location.test.ts
 */
export function subgroupSizes(starts: Uint32Array): SubgroupSizes {
  let smallest = 0;
  let largest = 0;
  let to = starts[0]!;
  for (let i = 1; i < starts.length; i += 1) {
    const from = to;
    to = starts[i]!;
    const n = to - from;
    if (n > largest) largest = n;
    if (n > 0 && (n < smallest || smallest === 0)) smallest = n;
  }
  return { starts, smallest, largest };
}

/**
 * Check of values: none may be other than a finite number.
 *
 * @shape   values in any order
 * @unit    that of the characteristic
 * @throws  RangeError for NaN or an infinity: a defect in the caller
 * @cost    O(n)
 * @source  derived here
 * @checked tests/unit/spc/sigma/location.test.ts
 */
export function checkFinite(values: Float64Array): void {
  let check = 0;
  for (let i = 0; i < values.length; i += 1) check += values[i]! * 0;
  if (check === 0) return;
  const at = values.findIndex((value) => !Number.isFinite(value));
  throw new RangeError(`grouped values are finite numbers, got ${values[at]} at place ${at}`);
}
