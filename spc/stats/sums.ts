/**
 * Sums over typed arrays of millions: blocks are added plainly, their totals with compensation, so that rounding does
 * not grow with the length and the loop stays as fast as a bare one.
 */
const BLOCK = 64;

/** A running total, and what its additions rounded away. */
interface Total {
  sum: number;
  lost: number;
}

function take(total: Total, block: number): void {
  const sum = total.sum + block;
  total.lost += Math.abs(total.sum) >= Math.abs(block) ? total.sum - sum + block : block - sum + total.sum;
  total.sum = sum;
}

/**
 * Sum of scaled and shifted values.
 *
 * @shape   finite values; the sum runs over x times `scale` less `shift`
 * @unit    that of the values times `scale`
 * @method  blocks of 64, totals by Neumaier's compensated summation
 * @cost    O(n)
 * @source  Neumaier 1974, Zeitschrift fuer Angewandte Mathematik und Mechanik 54:39-51 (from memory)
 * @checked tests/reference/spc/stats/moments.test.ts
 */
export function shiftedSum(x: Float64Array, scale: number, shift: number): number {
  const total = { sum: 0, lost: 0 };
  for (let from = 0; from < x.length; from += BLOCK) {
    const to = Math.min(x.length, from + BLOCK);
    let block = 0;
    for (let i = from; i < to; i += 1) block += x[i]! * scale - shift;
    take(total, block);
  }
  return total.sum + total.lost;
}

/**
 * Sum of products of values that lie `lag` places apart; of squares at lag 0.
 *
 * @shape   finite values, a lag of zero or more
 * @unit    that of the values, squared
 * @method  as `shiftedSum`
 * @cost    O(n)
 * @source  as `shiftedSum`
 * @checked tests/reference/spc/stats/moments.test.ts
 */
export function lagProducts(x: Float64Array, lag: number): number {
  const total = { sum: 0, lost: 0 };
  const places = x.length - lag;
  for (let from = 0; from < places; from += BLOCK) {
    const to = Math.min(places, from + BLOCK);
    let block = 0;
    for (let i = from; i < to; i += 1) block += x[i]! * x[i + lag]!;
    take(total, block);
  }
  return total.sum + total.lost;
}

/**
 * Power sums of scaled and shifted values: of the deviation itself, its square, cube and fourth power.
 *
 * @shape   finite values; deviation = (x times `outer` less `centre`) times `inner`
 * @unit    dimensionless when the factors bring deviations near one
 * @method  as `shiftedSum`
 * @cost    O(n)
 * @source  as `shiftedSum`
 * @checked tests/reference/spc/stats/moments.test.ts
 */
export function powerSums(
  x: Float64Array,
  outer: number,
  centre: number,
  inner: number,
): readonly [number, number, number, number] {
  const totals = [0, 1, 2, 3].map(() => ({ sum: 0, lost: 0 }));
  for (let from = 0; from < x.length; from += BLOCK) {
    const to = Math.min(x.length, from + BLOCK);
    let ones = 0;
    let squares = 0;
    let cubes = 0;
    let fourths = 0;
    for (let i = from; i < to; i += 1) {
      const d = (x[i]! * outer - centre) * inner;
      const square = d * d;
      ones += d;
      squares += square;
      cubes += square * d;
      fourths += square * square;
    }
    take(totals[0]!, ones);
    take(totals[1]!, squares);
    take(totals[2]!, cubes);
    take(totals[3]!, fourths);
  }
  const [one, two, three, four] = totals.map(({ sum, lost }) => sum + lost);
  return [one!, two!, three!, four!];
}
