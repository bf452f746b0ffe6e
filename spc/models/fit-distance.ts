import type { DistributionModel } from "./model.ts";

/** Least share that is told from none, so that its logarithm is a number. */
const LEAST_SHARE = 1e-300;

/**
 * Distance of a fit: how far the values lie from a model, tails weighed most; the smaller of two models fits better.
 *
 * @shape   one or more finite values in any order, a model
 * @unit    dimensionless
 * @method  Anderson and Darling's A^2 = -n - 1/n sum (2 i - 1) (ln F_i + ln(1 - F_(n+1-i))), F the model's. It has no
 *          p here: with fitted parameters that differs from model to model
 * @throws  RangeError without values or for one that is no number: a defect in the caller
 * @cost    O(n log n)
 * @source  Anderson and Darling 1954, J. Amer. Stat. Assoc. 49:765-769 (from memory)
 * @checked tests/reference/spc/models/fits.test.ts
 */
export function fitDistance(values: readonly number[], model: DistributionModel): number {
  const n = values.length;
  if (n === 0 || !values.every(Number.isFinite)) throw new RangeError(`a distance needs numbers, got ${n} values`);
  const sorted = Float64Array.from(values).sort();
  let sum = 0;
  for (let i = 0; i < n; i += 1) {
    const below = Math.max(model.cdf(sorted[i]!), LEAST_SHARE);
    const above = Math.max(1 - model.cdf(sorted[n - 1 - i]!), LEAST_SHARE);
    sum += ((2 * i + 1) / n) * (Math.log(below) + Math.log(above));
  }
  return -n - sum;
}
