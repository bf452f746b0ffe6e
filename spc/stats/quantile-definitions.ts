import { extremes } from "./finite.ts";

/**
 * Where in the sorted values a quantile lies:
 * `step` the smallest value that at least a share p does not exceed (definition 1 of Hyndman and Fan);
 * `n-plus-one` rank p (n + 1), the handbook's and that of `quantile` (6);
 * `n-minus-one` rank 1 + p (n - 1), which spreads the values over 0 to 1 (7);
 * `median-unbiased` rank p (n + 1/3) + 1/3, right in the median whatever the distribution (8).
 */
export type QuantileDefinition = "step" | "n-plus-one" | "n-minus-one" | "median-unbiased";

const RANKS: Readonly<Record<Exclude<QuantileDefinition, "step">, (p: number, n: number) => number>> = {
  "n-plus-one": (p, n) => p * (n + 1),
  "n-minus-one": (p, n) => 1 + p * (n - 1),
  "median-unbiased": (p, n) => p * (n + 1 / 3) + 1 / 3,
};

/**
 * Quantile of sorted values by a named definition: definitions differ, so a number is worth little without its name.
 *
 * @shape   one or more finite values in ascending order; 0 <= p <= 1
 * @unit    that of the values
 * @method  the definition's rank, kept within 1 and n, linear between neighbours; `step` takes the value at the rank
 *          n p rounded up
 * @throws  RangeError without values or with p out of range: a defect in the caller
 * @cost    O(1)
 * @source  Hyndman and Fan 1996, The American Statistician 50:361-365 (from memory)
 * @checked tests/unit/spc/stats/quantile-definitions.test.ts
 */
export function sortedQuantile(sorted: ArrayLike<number>, p: number, definition: QuantileDefinition): number {
  const n = sorted.length;
  if (n === 0) throw new RangeError("a quantile needs one or more values, got 0");
  if (!(p >= 0 && p <= 1)) throw new RangeError(`a quantile needs 0 <= p <= 1, got ${p}`);
  // A product such as 0.1 * 30 may end an ulp above the whole number that is meant.
  if (definition === "step") return sorted[Math.max(1, Math.ceil(n * p - 1e-9)) - 1]!;
  const rank = Math.min(Math.max(RANKS[definition](p, n), 1), n);
  const below = Math.floor(rank);
  const lower = sorted[below - 1]!;
  const upper = sorted[Math.min(below, n - 1)]!;
  // Written so that the ends of a wide range do not overflow in their difference.
  return lower * (1 - (rank - below)) + upper * (rank - below);
}

/**
 * Sorted copy: values in ascending order, after making sure that all are numbers to compute with.
 *
 * @shape   one or more finite values
 * @unit    that of the values
 * @method  a typed array's own numeric sort
 * @throws  RangeError without values or for values that are not finite: a defect in the caller
 * @cost    O(n log n), one copy
 * @source  derived here
 * @checked tests/unit/spc/stats/quantile-definitions.test.ts
 */
export function sortedCopy(values: ArrayLike<number>): Float64Array {
  extremes(values);
  return new Float64Array(values).sort();
}
