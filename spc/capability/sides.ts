import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";

/** The limits of a specification that an index is counted from. */
export interface Limits {
  readonly lower?: number;
  readonly upper?: number;
}

/**
 * Upper index: how many times three sigma fit between the mean and the upper limit. Cpu with within sigma.
 *
 * @shape   a specification, the mean, sigma above zero
 * @unit    dimensionless, below zero when the mean lies above the limit
 * @method  (upper - mean) / (3 sigma)
 * @refuses one-sided-specification without an upper limit
 * @source  NIST/SEMATECH e-Handbook 6.1.6 (from memory)
 * @checked tests/reference/spc/capability/indices.test.ts
 */
export function upperIndex({ upper }: Limits, mean: number, sigma: number): Outcome<number> {
  if (upper === undefined) return refuse("one-sided-specification", "the specification has no upper limit");
  return ok((upper - mean) / (3 * sigma));
}

/**
 * Lower index: how many times three sigma fit between the lower limit and the mean. Cpl with within sigma.
 *
 * @shape   a specification, the mean, sigma above zero
 * @unit    dimensionless, below zero when the mean lies below the limit
 * @method  (mean - lower) / (3 sigma)
 * @refuses one-sided-specification without a lower limit
 * @source  NIST/SEMATECH e-Handbook 6.1.6 (from memory)
 * @checked tests/reference/spc/capability/indices.test.ts
 */
export function lowerIndex({ lower }: Limits, mean: number, sigma: number): Outcome<number> {
  if (lower === undefined) return refuse("one-sided-specification", "the specification has no lower limit");
  return ok((mean - lower) / (3 * sigma));
}

/**
 * Off-centre share k: how far the mean lies from the middle, in half widths of the specification; Cpk = (1 - k) Cp.
 *
 * @shape   a specification and the mean
 * @unit    dimensionless: 0 in the middle, 1 at a limit, above 1 outside
 * @method  |mean - (upper + lower) / 2| / ((upper - lower) / 2)
 * @refuses one-sided-specification without both limits
 * @source  NIST/SEMATECH e-Handbook 6.1.6 (from memory)
 * @checked tests/reference/spc/capability/indices.test.ts
 */
export function offCentre({ lower, upper }: Limits, mean: number): Outcome<number> {
  if (lower === undefined || upper === undefined) {
    return refuse("one-sided-specification", "the specification has one side only");
  }
  // Halves are taken first: the sum of two large limits would leave the range of numbers.
  const half = upper / 2 - lower / 2;
  return ok(Math.abs(mean - (upper / 2 + lower / 2)) / half);
}
