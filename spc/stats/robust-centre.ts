import { exactSum } from "./exact-sum.ts";
import { kthOfSums } from "./kth-pair.ts";
import { sortedCopy } from "./quantile-definitions.ts";

/**
 * Trimmed mean: where the values lie, the extremes on both sides left out of the count.
 *
 * @shape   one or more finite values, in any order; `share` left out on each side, 0 to below one half
 * @unit    that of the values
 * @method  floor(share n) values dropped at either end, mean of the rest
 * @throws  RangeError without values, for values that are not finite, or a share out of range: a defect in the caller
 * @cost    O(n log n)
 * @source  Tukey and McLaughlin 1963, Sankhya A 25:331-352 (from memory); 0.1 to 0.25 is common practice, no source
 * @checked tests/reference/spc/stats/robust-efficiency.test.ts
 */
export function trimmedMean(values: ArrayLike<number>, share: number): number {
  if (!(share >= 0 && share < 0.5)) throw new RangeError(`a share to trim lies in 0 to below 0.5, got ${share}`);
  const sorted = sortedCopy(values);
  const cut = Math.floor(share * sorted.length);
  const kept = sorted.length - 2 * cut;
  return exactSum(kept, (i) => sorted[cut + i]! / kept);
}

/**
 * Hodges-Lehmann centre: where the values lie, nearly as sharp as the mean and hardly moved by a wild one.
 *
 * @shape   one or more finite values, in any order
 * @unit    that of the values
 * @method  median of the n (n + 1) / 2 means of two values, each value also with itself
 * @throws  RangeError without values or for values that are not finite: a defect in the caller
 * @cost    O(n log n): the pairs are counted, never listed
 * @source  Hodges and Lehmann 1963, Annals of Mathematical Statistics 34:598-611 (from memory)
 * @checked tests/reference/spc/stats/robust-efficiency.test.ts
 */
export function hodgesLehmann(values: ArrayLike<number>): number {
  const sorted = sortedCopy(values).map((value) => value / 2);
  const pairs = (sorted.length * (sorted.length + 1)) / 2;
  const upper = kthOfSums(sorted, Math.floor(pairs / 2) + 1);
  if (pairs % 2 === 1) return upper;
  return kthOfSums(sorted, pairs / 2) / 2 + upper / 2;
}
