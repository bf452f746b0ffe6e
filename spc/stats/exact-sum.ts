/**
 * Exact sum: a total whose rounding does not grow with the number of terms.
 *
 * @shape   `terms`: how many; `term(i)`: the i-th one, finite
 * @unit    that of the terms
 * @method  Neumaier's compensated summation: what each addition rounds away is kept and added last
 * @cost    O(n)
 * @source  Neumaier 1974, Zeitschrift fuer Angewandte Mathematik und Mechanik 54:39-51 (from memory)
 * @checked tests/reference/spc/stats/moments.test.ts
 */
export function exactSum(terms: number, term: (i: number) => number): number {
  let total = 0;
  let lost = 0;
  for (let i = 0; i < terms; i += 1) {
    const next = term(i);
    const sum = total + next;
    lost += Math.abs(total) >= Math.abs(next) ? total - sum + next : next - sum + total;
    total = sum;
  }
  return total + lost;
}
