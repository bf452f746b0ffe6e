/**
 * The k-th smallest sum of two values, each value also with itself.
 *
 * @shape   finite values in ascending order, whose sums of two are finite; k from 1 to n (n + 1) / 2
 * @unit    that of the values
 * @method  bisection between smallest and largest sum until no number lies between; a sum counts when at or below
 * @throws  RangeError for k out of range: a defect in the caller
 * @cost    O(n) a halving, some sixty of them
 * @source  derived here
 * @checked tests/property/spc/stats/robust.test.ts
 */
export function kthOfSums(sorted: Float64Array, k: number): number {
  const n = sorted.length;
  if (!(k >= 1 && k <= (n * (n + 1)) / 2)) throw new RangeError(`no sum has the rank ${k} among ${n} values`);
  return bisect(2 * sorted[0]!, 2 * sorted[n - 1]!, (limit) => {
    let count = 0;
    let j = n - 1;
    for (let i = 0; i < n; i += 1) {
      while (j >= i && sorted[i]! + sorted[j]! > limit) j -= 1;
      if (j < i) break;
      count += j - i + 1;
    }
    return count >= k;
  });
}

/**
 * The k-th smallest difference of two values.
 *
 * @shape   finite values in ascending order, whose differences are finite; k from 1 to n (n - 1) / 2
 * @unit    that of the values
 * @method  as `kthOfSums`
 * @throws  RangeError for k out of range: a defect in the caller
 * @cost    O(n) a halving, some sixty of them
 * @source  derived here
 * @checked tests/property/spc/stats/robust.test.ts
 */
export function kthOfDifferences(sorted: Float64Array, k: number): number {
  const n = sorted.length;
  if (!(k >= 1 && k <= (n * (n - 1)) / 2)) throw new RangeError(`no difference has the rank ${k} among ${n} values`);
  return bisect(0, sorted[n - 1]! - sorted[0]!, (limit) => {
    let count = 0;
    let j = 0;
    for (let i = 0; i < n; i += 1) {
      while (sorted[i]! - sorted[j]! > limit) j += 1;
      count += i - j;
    }
    return count >= k;
  });
}

/** The smallest number at which `reached` holds; it holds at `high`, and wherever it holds it holds above. */
function bisect(low: number, high: number, reached: (limit: number) => boolean): number {
  if (reached(low)) return low;
  let below = low;
  let above = high;
  for (;;) {
    const middle = below + (above - below) / 2;
    if (!(middle > below && middle < above)) return above;
    if (reached(middle)) above = middle;
    else below = middle;
  }
}
