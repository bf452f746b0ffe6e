import { logGamma } from "../library/gamma.ts";
import { normalCdf } from "../library/normal.ts";

/**
 * Chi-square tail: the chance of a value above x, kept accurate where it is tiny.
 *
 * @shape   x of zero or more, `df` whole degrees of freedom of one or more
 * @unit    a probability
 * @method  Q(df) = Q(df - 2) + (x/2)^(df/2 - 1) e^(-x/2) / Gamma(df/2), from Q(1) = 2 Phi(-sqrt x) or Q(0) = 0: positive
 *          terms only, so that nothing cancels
 * @throws  RangeError for x below zero or df that is no whole number of one or more: a defect in the caller
 * @cost    O(df)
 * @source  recurrence of the incomplete gamma function, Abramowitz and Stegun 26.4.8 (from memory)
 * @checked tests/reference/spc/stats/series-statistics.test.ts
 */
export function chiSquareTail(x: number, df: number): number {
  if (!(x >= 0)) throw new RangeError(`a chi-square tail needs x >= 0, got ${x}`);
  if (!Number.isInteger(df) || df < 1) throw new RangeError(`a chi-square tail needs whole df >= 1, got ${df}`);
  if (x === 0) return 1;
  let tail = df % 2 === 1 ? 2 * normalCdf(-Math.sqrt(x)) : 0;
  for (let k = df % 2 === 1 ? 3 : 2; k <= df; k += 2) {
    tail += Math.exp((k / 2 - 1) * Math.log(x / 2) - x / 2 - logGamma(k / 2));
  }
  return Math.min(1, tail);
}
