import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import type { Specification } from "../model/specification.ts";

/**
 * Spread index: how often six sigma fit between the specification's limits. Cp with within sigma, Pp with overall.
 *
 * @shape   a specification, sigma above zero
 * @unit    dimensionless
 * @method  (upper - lower) / (6 sigma)
 * @refuses one-sided-specification without both limits: a natural bound is none
 * @source  ISO 22514-2; NIST/SEMATECH e-Handbook 6.1.6 (both from memory)
 * @checked tests/reference/spc/capability/indices.test.ts
 */
export function spreadIndex({ lower, upper }: Specification, sigma: number): Outcome<number> {
  if (lower === undefined || upper === undefined) {
    return refuse("one-sided-specification", "the specification has one side only");
  }
  return ok((upper - lower) / (6 * sigma));
}

/**
 * Nearest index: how many times three sigma fit between the mean and the nearer limit. Cpk with within sigma, Ppk
 * with overall; below zero when the mean lies outside.
 *
 * @shape   a specification, the mean, sigma above zero
 * @unit    dimensionless
 * @method  the smaller of (upper - mean) / (3 sigma) and (mean - lower) / (3 sigma), or the only one there is
 * @refuses no-specification without any limit
 * @source  ISO 22514-2; NIST/SEMATECH e-Handbook 6.1.6 (both from memory)
 * @checked tests/reference/spc/capability/indices.test.ts
 */
export function nearestIndex({ lower, upper }: Specification, mean: number, sigma: number): Outcome<number> {
  const sides: number[] = [];
  if (upper !== undefined) sides.push((upper - mean) / (3 * sigma));
  if (lower !== undefined) sides.push((mean - lower) / (3 * sigma));
  return sides.length === 0 ? refuse("no-specification", "no specification is set") : ok(Math.min(...sides));
}
