/**
 * c4: how far the subgroup standard deviation falls short of sigma on average, E[s] = c4(n) sigma.
 *
 * @shape   n: subgroup size, an integer of 2 or more
 * @unit    dimensionless, between 0 and 1
 * @method  c4(2) = sqrt(2/pi) and c4(n) c4(n+1) = sqrt((n-1)/n); both follow from
 *          c4(n) = sqrt(2/(n-1)) gamma(n/2) / gamma((n-1)/2), so no gamma function is needed; above 1000 the
 *          asymptotic series of that ratio in 1/(n-1), whose next term is below 1e-17
 * @throws  RangeError when n is no such integer: a defect in the caller
 * @cost    O(n), at most 1000 steps
 * @source  definition as in ISO 7870-2 (from memory); recurrence derived here; series: Graham, Knuth, Patashnik,
 *          Concrete Mathematics, answer 9.60 (from memory)
 * @checked tests/reference/spc/factors/constants.test.ts
 */
export function c4(n: number): number {
  if (!Number.isInteger(n) || n < 2) throw new RangeError(`c4 needs a subgroup size of two or more, got ${n}`);
  if (n > 1000) return forLarge(n - 1);
  let factor = Math.sqrt(2 / Math.PI);
  for (let size = 2; size < n; size += 1) factor = Math.sqrt((size - 1) / size) / factor;
  return factor;
}

function forLarge(df: number): number {
  const u = 1 / df;
  return 1 + u * (-1 / 4 + u * (1 / 32 + u * (5 / 128 - u * (21 / 2048))));
}
