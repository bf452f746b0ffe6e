/** Larger magnitudes overflow in a difference or a sum. */
const LARGEST = 1e307;

/**
 * Extremes: smallest and largest value, after making sure that all of them are numbers to compute with.
 *
 * @shape   one or more values, in any order
 * @unit    that of the values
 * @method  one pass
 * @throws  RangeError without values, or for one that is not finite or beyond 1e307 in magnitude: a defect in the caller
 * @cost    O(n)
 * @source  derived here: a difference of two magnitudes up to 1e307, and a sum of ten such, are finite
 * @checked tests/unit/spc/stats/series-moments.test.ts
 */
export function extremes(values: ArrayLike<number>): { readonly smallest: number; readonly largest: number } {
  const n = values.length;
  if (n === 0) throw new RangeError("one or more values are needed, got 0");
  let smallest = Number.POSITIVE_INFINITY;
  let largest = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < n; i += 1) {
    const value = values[i]!;
    // Written so that NaN fails.
    if (!(Math.abs(value) <= LARGEST)) throw new RangeError(`value ${i} is ${value}, which cannot be computed with`);
    if (value < smallest) smallest = value;
    if (value > largest) largest = value;
  }
  return { smallest, largest };
}

/**
 * Finite ones: the numbers of a column that holds places for missing ones.
 *
 * @shape   one number a place, NaN for none; the column itself where none is missing, so that nobody may write into it
 * @unit    that of the values
 * @method  counted, then copied: `filter` of a typed array makes an object of each number on the way, 24 bytes a place
 * @cost    O(n)
 * @source  definition
 * @checked tests/unit/spc/stats/series-moments.test.ts
 */
export function finiteOnes(column: Float64Array): Float64Array {
  let count = 0;
  for (let i = 0; i < column.length; i += 1) if (Number.isFinite(column[i]!)) count += 1;
  if (count === column.length) return column;
  const there = new Float64Array(count);
  let next = 0;
  for (let i = 0; i < column.length; i += 1) {
    if (!Number.isFinite(column[i]!)) continue;
    there[next] = column[i]!;
    next += 1;
  }
  return there;
}

/**
 * Power-of-two scale: a factor that brings a magnitude near one and rounds nothing.
 *
 * @shape   a finite magnitude, zero or more
 * @unit    the inverse of the magnitude's
 * @method  2^-floor(log2 magnitude), kept within 2^-1000 and 2^1000; 1 for zero
 * @cost    O(1)
 * @source  derived here
 * @checked tests/unit/spc/stats/series-moments.test.ts
 */
export function powerOfTwoScale(magnitude: number): number {
  if (!(magnitude > 0)) return 1;
  return 2 ** Math.min(1000, Math.max(-1000, -Math.floor(Math.log2(magnitude))));
}
