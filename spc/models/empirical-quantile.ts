import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { quantile } from "../stats/quantile.ts";

/**
 * Quantile of the values themselves: refused where the share lies beyond what so few values can show, so that the
 * largest value is never passed off as a limit.
 *
 * @shape   finite values in any order; 0 < p < 1
 * @unit    that of the values
 * @method  rank p (n + 1), linear between neighbours
 * @refuses too-few below 1 / p values, or 1 / (1 - p): 741 for 0.00135 and 0.99865
 * @throws  RangeError for a value that is no number or a share out of range: a defect in the caller
 * @cost    O(n log n)
 * @source  NIST/SEMATECH e-Handbook 7.2.6.2; least count derived here: one value is expected beyond
 * @checked tests/unit/spc/models/empirical-quantile.test.ts
 */
export function empiricalQuantile(values: readonly number[], p: number): Outcome<number> {
  if (!(p > 0 && p < 1)) throw new RangeError(`a quantile needs 0 < p < 1, got ${p}`);
  for (const value of values) {
    if (!Number.isFinite(value)) throw new RangeError(`a quantile is taken of numbers, got ${value}`);
  }
  // 1 / (1 - 0.99865) is 740.74 but for the last digits, and so is 1 / 0.00135.
  const needs = Math.ceil(1 / Math.min(p, 1 - p) - 1e-9);
  if (values.length < needs) {
    const detail = `${values.length} values do not reach the quantile ${p}: only a fitted model does`;
    return refuse("too-few", detail, { needs, has: values.length });
  }
  return ok(quantile(values, p));
}
