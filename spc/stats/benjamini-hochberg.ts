/** What is left standing of many tests read together. */
export interface FalseDiscovery {
  /** By place: the smallest share q at which the test would be among the findings. */
  readonly adjusted: readonly number[];
  /** By place: whether it is one at the share asked for. */
  readonly rejected: readonly boolean[];
}

/**
 * Benjamini-Hochberg: which of many tests to look into, so that on average no more than a share q of them is chance.
 *
 * @shape   p values of tests that are independent or depend on each other positively, in any order; q between 0 and 1
 * @unit    dimensionless
 * @method  with m tests, the i-th smallest p becomes the least of m p / i over it and all larger ones, at most 1; those at
 *          or below q are findings. For lists that are reviewed as a whole, never for signals as they come
 * @throws  RangeError for a p or q that is no probability: a defect in the caller
 * @cost    O(m log m)
 * @source  Benjamini and Hochberg 1995, Journal of the Royal Statistical Society B 57:289-300 (from memory)
 * @checked tests/reference/spc/stats/benjamini-hochberg.test.ts
 */
export function benjaminiHochberg(ps: readonly number[], q: number): FalseDiscovery {
  if (!(q > 0 && q < 1)) throw new RangeError(`a share of false findings lies between 0 and 1, got ${q}`);
  for (const p of ps) if (!(p >= 0 && p <= 1)) throw new RangeError(`a p value lies from 0 to 1, got ${p}`);
  const m = ps.length;
  const order = ps.map((_, place) => place).sort((a, b) => ps[b]! - ps[a]!);
  const adjusted = new Array<number>(m).fill(1);
  let least = 1;
  order.forEach((place, from) => {
    least = Math.min(least, (m * ps[place]!) / (m - from));
    adjusted[place] = least;
  });
  return { adjusted, rejected: adjusted.map((value) => value <= q) };
}
