/**
 * Quantile: the value that a share p of the values stays below.
 *
 * @shape   one or more finite values, in any order; 0 <= p <= 1
 * @unit    that of the values
 * @method  rank p (n + 1), linear between neighbours, kept within smallest and largest
 * @throws  RangeError without values or with p out of range: a defect in the caller
 * @cost    O(n log n)
 * @source  NIST/SEMATECH e-Handbook 7.2.6.2
 * @checked tests/unit/spc/stats/quantile.test.ts
 */
export function quantile(values: ArrayLike<number>, p: number): number {
  if (values.length === 0) throw new RangeError("a quantile needs one or more values, got 0");
  if (!(p >= 0 && p <= 1)) throw new RangeError(`a quantile needs 0 <= p <= 1, got ${p}`);
  const sorted = new Float64Array(values).sort();
  const rank = Math.min(Math.max(p * (sorted.length + 1), 1), sorted.length);
  const below = Math.floor(rank);
  const lower = sorted[below - 1]!;
  const upper = sorted[Math.min(below, sorted.length - 1)]!;
  return lower + (rank - below) * (upper - lower);
}

/**
 * Median: the middle value.
 *
 * @shape   one or more finite values, in any order
 * @unit    that of the values
 * @method  quantile at one half, which is the mean of the middle two where n is even
 * @throws  RangeError without values: a defect in the caller
 * @cost    O(n log n)
 * @source  NIST/SEMATECH e-Handbook 1.3.5.1 (from memory)
 * @checked tests/unit/spc/stats/quantile.test.ts
 */
export function median(values: ArrayLike<number>): number {
  return quantile(values, 0.5);
}
