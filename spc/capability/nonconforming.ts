import { betaQuantile } from "../library/beta.ts";
import { normalCdf } from "../library/normal.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import type { Interval } from "./interval.ts";
import type { Limits } from "./sides.ts";

/** Parts per million expected outside the specification, if the values were normal. */
export interface ExpectedPpm {
  readonly below: number;
  readonly above: number;
  readonly total: number;
  /** Fewer than one of as many values as there were: a statement about a tail that nobody has seen. */
  readonly extrapolated: boolean;
}

/**
 * Expected outside: how many of a million would lie beyond each limit; within with within sigma, overall with s.
 *
 * @shape   a specification, the mean, sigma above zero, the count of values behind them
 * @unit    ppm
 * @method  10^6 Phi((lower - mean) / sigma) and 10^6 Phi((mean - upper) / sigma); zero on a side without a limit.
 *          Extrapolated when the sum is below 10^6 / n
 * @refuses no-specification without any limit
 * @throws  RangeError for a sigma or count that is none: a defect in the caller
 * @source  Montgomery, Introduction to Statistical Quality Control, Table 8.2 (from memory); flag derived here
 * @checked tests/reference/spc/capability/nonconforming.test.ts
 */
export function expectedPpm({ lower, upper }: Limits, mean: number, sigma: number, n: number): Outcome<ExpectedPpm> {
  if (!(sigma > 0 && n >= 1)) throw new RangeError(`expected ppm needs sigma and n above zero, got ${sigma}, ${n}`);
  if (lower === undefined && upper === undefined) return refuse("no-specification", "no specification is set");
  const below = lower === undefined ? 0 : 1e6 * normalCdf((lower - mean) / sigma);
  const above = upper === undefined ? 0 : 1e6 * normalCdf((mean - upper) / sigma);
  const total = below + above;
  return ok({ below, above, total, extrapolated: total < 1e6 / n });
}

/**
 * Observed outside: how many of the values lay beyond the limits, and what share of all values that may be.
 *
 * @shape   count outside, 0 to n; n values, one or more; the confidence between 0 and 1
 * @unit    ppm
 * @method  10^6 count / n; Clopper and Pearson: the beta quantiles of (count, n - count + 1) and (count + 1, n - count)
 * @throws  RangeError for counts or a confidence that are none: a defect in the caller
 * @source  Clopper and Pearson 1934, Biometrika 26:404-413 (from memory)
 * @checked tests/reference/spc/capability/nonconforming.test.ts
 */
export function observedPpm(count: number, n: number, confidence: number): Interval {
  const whole = Number.isInteger(count) && Number.isInteger(n) && count >= 0 && count <= n && n >= 1;
  if (!whole) throw new RangeError(`observed ppm needs 0 <= count <= n, got ${count} of ${n}`);
  if (!(confidence > 0 && confidence < 1)) throw new RangeError(`a confidence lies between 0 and 1, got ${confidence}`);
  const tail = (1 - confidence) / 2;
  const lower = count === 0 ? 0 : betaQuantile(tail, count, n - count + 1);
  const upper = count === n ? 1 : betaQuantile(1 - tail, count + 1, n - count);
  return { estimate: (1e6 * count) / n, lower: 1e6 * lower, upper: 1e6 * upper, confidence };
}

/**
 * Values outside: the count that lies beyond the limits; on a limit is inside.
 *
 * @shape   finite values in any order, a specification
 * @unit    dimensionless, a count
 * @method  strictly below the lower or strictly above the upper limit
 * @throws  RangeError for a value that is no number: a defect in the caller
 * @cost    O(n)
 * @source  definition
 * @checked tests/unit/spc/capability/nonconforming.test.ts
 */
export function countOutside(values: ArrayLike<number>, { lower, upper }: Limits): number {
  let count = 0;
  for (let i = 0; i < values.length; i += 1) {
    const value = values[i]!;
    if (!Number.isFinite(value)) throw new RangeError(`value ${i} is no number: ${value}`);
    if ((lower !== undefined && value < lower) || (upper !== undefined && value > upper)) count += 1;
  }
  return count;
}
