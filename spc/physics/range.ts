import { type Refusal, refuse } from "../model/outcome.ts";

/** Where a formula holds, both ends included. */
export interface ValidRange {
  readonly from: number;
  readonly to: number;
  /** As written in the sentence: `Cel`, `hPa`, `%`. */
  readonly unit: string;
}

/**
 * Tells that a number lies outside the range of a formula, so that nothing is extrapolated; NaN lies outside every range.
 *
 * @shape   what: names the number in the sentence, such as `air in steam`
 * @unit    none: undefined where the number is in the range
 * @method  from <= value <= to, asked so that NaN fails
 * @refuses the code that it is given
 * @cost    O(1)
 * @source  derived here
 * @checked tests/unit/spc/physics/range.test.ts
 */
export function outside(
  code: string,
  what: string,
  value: number,
  range: ValidRange,
): { readonly ok: false; readonly refusal: Refusal } | undefined {
  if (value >= range.from && value <= range.to) return undefined;
  const { from, to, unit } = range;
  return refuse(code, `${what} is computed from ${from} to ${to} ${unit}, got ${value}`);
}

/**
 * Tells that a number that must be above zero is not, or is no number.
 *
 * @shape   what: names the number in the sentence
 * @unit    none: undefined where the number is above zero and finite
 * @method  0 < value < Infinity
 * @refuses `not-positive`
 * @cost    O(1)
 * @source  derived here
 * @checked tests/unit/spc/physics/range.test.ts
 */
export function notPositive(
  what: string,
  value: number,
): { readonly ok: false; readonly refusal: Refusal } | undefined {
  if (value > 0 && value < Number.POSITIVE_INFINITY) return undefined;
  return refuse("not-positive", `${what} must be above 0, got ${value}`);
}

/**
 * A computed number as a sentence may hold it; the exact one stands in `needs` and `has`.
 *
 * @shape   value: any
 * @unit    that of the value
 * @method  four significant digits, without zeros at the end
 * @cost    O(1)
 * @source  derived here
 * @checked tests/unit/spc/physics/range.test.ts
 */
export function shown(value: number): string {
  return String(Number(value.toPrecision(4)));
}
