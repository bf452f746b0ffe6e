import { chiSquareQuantile } from "../library/chi-square.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import type { Interval } from "./interval.ts";
import type { Limits } from "./sides.ts";

/** What an index of the target is computed from. */
export interface Aimed extends Limits {
  /** The value aimed at. The middle of the specification is a target only where somebody declared it. */
  readonly target?: number;
}

/**
 * Target index Cpm: how often six spreads about the target fit between the specification's limits; it falls when the
 * mean leaves the target, even where the spread is small.
 *
 * @shape   a specification with its target, the mean, the overall standard deviation s above zero
 * @unit    dimensionless
 * @method  (upper - lower) / (6 sqrt(s^2 + (mean - target)^2))
 * @refuses one-sided-specification without both limits; no-target, for a middle that nobody declared is none
 * @source  Boyles 1991, JQT 23:17-26 (from memory); NIST/SEMATECH e-Handbook 3.5.1.2
 * @checked tests/reference/spc/capability/target-index.test.ts
 */
export function targetIndex({ lower, upper, target }: Aimed, mean: number, s: number): Outcome<number> {
  if (lower === undefined || upper === undefined) {
    return refuse("one-sided-specification", "the specification has one side only");
  }
  if (target === undefined)
    return refuse("no-target", "no target is set: the middle of the specification need not be one");
  return ok((upper - lower) / (6 * Math.hypot(s, mean - target)));
}

/**
 * Interval of Cpm: what the spread about the target, over the width of the specification, may truly be.
 *
 * @shape   the estimate; n values, two or more; d = (mean - target) / s; the confidence between 0 and 1
 * @unit    dimensionless
 * @method  estimate sqrt(q / nu), q the chi-square quantiles with nu = n (1 + d^2)^2 / (1 + 2 d^2) degrees of freedom
 * @throws  RangeError for n below two, a distance that is no number, or a confidence out of range: a defect in the caller
 * @source  Boyles 1991, JQT 23:17-26 (from memory)
 * @checked tests/reference/spc/capability/target-index.test.ts
 */
export function targetInterval(estimate: number, n: number, d: number, confidence: number): Interval {
  if (!(n >= 2) || !Number.isFinite(d)) {
    throw new RangeError(`an interval of Cpm needs two or more values and a distance, got ${n}, ${d}`);
  }
  // Beyond any real distance the interval is a point; kept below what the quantile can be asked for.
  const square = Math.min(d * d, 1e90);
  const nu = (n * (1 + square) ** 2) / (1 + 2 * square);
  const tail = (1 - confidence) / 2;
  const at = (p: number): number => estimate * Math.sqrt(chiSquareQuantile(p, nu) / nu);
  return { estimate, lower: at(tail), upper: at(1 - tail), confidence };
}
