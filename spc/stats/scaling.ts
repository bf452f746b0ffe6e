import { extremes, powerOfTwoScale } from "./finite.ts";
import { shiftedSum } from "./sums.ts";

/** How a series is brought near one: deviation = (value * outer - centre) * inner. */
export interface Scaling {
  readonly smallest: number;
  readonly largest: number;
  readonly mean: number;
  /** The mean, times `outer`. */
  readonly centre: number;
  readonly outer: number;
  readonly inner: number;
}

/**
 * Scaling: the mean of a series, and powers of two that bring its deviations near one whatever its unit.
 *
 * @shape   one or more finite values up to 1e307 in magnitude
 * @unit    mean and extremes that of the values, the factors its inverse
 * @method  values times a power of two, compensated sum, then once more over what is left
 * @throws  RangeError without values or for values that are not finite: a defect in the caller
 * @cost    O(n), three passes
 * @source  derived here; correction pass: Chan, Golub, LeVeque 1983, The American Statistician 37:242-247 (from memory)
 * @checked tests/reference/spc/stats/moments.test.ts
 */
export function scaling(values: Float64Array): Scaling {
  const n = values.length;
  const { smallest, largest } = extremes(values);
  const outer = powerOfTwoScale(Math.max(Math.abs(smallest), Math.abs(largest)));
  const first = shiftedSum(values, outer, 0) / n;
  const centre = first + shiftedSum(values, outer, first) / n;
  const inner = powerOfTwoScale((largest - smallest) * outer);
  // Rounding may leave the mean of nearly equal values an ulp outside them.
  const mean = Math.min(largest, Math.max(smallest, centre / outer));
  return { smallest, largest, mean, centre, outer, inner };
}

/**
 * Deviations of a series from its mean, scaled near one; a value that is not finite gives a deviation of zero.
 *
 * @shape   values in order, and the scaling of those that are finite
 * @unit    dimensionless: that of the values times `outer` times `inner`
 * @method  (value * outer - centre) * inner
 * @cost    O(n), one array
 * @source  derived here
 * @checked tests/reference/spc/stats/moments.test.ts
 */
export function deviations(values: Float64Array, { centre, outer, inner }: Scaling): Float64Array {
  const found = new Float64Array(values.length);
  for (let i = 0; i < values.length; i += 1) {
    const value = values[i]!;
    if (Number.isFinite(value)) found[i] = (value * outer - centre) * inner;
  }
  return found;
}

/**
 * Values as a typed array: as they are where they are one, else copied.
 *
 * @shape   values, in order
 * @unit    that of the values
 * @cost    O(n) for a list, nothing for a typed array
 * @source  derived here
 * @checked tests/reference/spc/stats/moments.test.ts
 */
export function typed(values: ArrayLike<number>): Float64Array {
  return values instanceof Float64Array ? values : Float64Array.from(values);
}
