import { chiSquareQuantile } from "../library/chi-square.ts";
import { normalQuantile } from "../library/normal.ts";

/** An index with the range that the data leave it. */
export interface Interval {
  readonly estimate: number;
  readonly lower: number;
  readonly upper: number;
  /** Share of such intervals that hold the true value, 0 to 1. */
  readonly confidence: number;
}

/** Two-sided confidence of every interval shown. */
const CONFIDENCE = 0.95;

/**
 * Interval of Cp or Pp: what the spread alone, over the width of the specification, may truly be.
 *
 * @shape   the estimate, the degrees of freedom of its sigma, the confidence between 0 and 1
 * @unit    dimensionless
 * @method  estimate sqrt(q / df), q the chi-square quantiles with df degrees of freedom at both tails
 * @throws  RangeError for degrees of freedom or a confidence out of range: a defect in the caller
 * @source  NIST/SEMATECH e-Handbook 6.1.6 (from memory)
 * @checked tests/reference/spc/capability/interval.test.ts
 */
export function spreadInterval(estimate: number, df: number, confidence: number = CONFIDENCE): Interval {
  const tail = (1 - confidence) / 2;
  const at = (p: number): number => estimate * Math.sqrt(chiSquareQuantile(p, df) / df);
  return { estimate, lower: at(tail), upper: at(1 - tail), confidence };
}

/**
 * Interval of Cpk or Ppk: what the nearer limit's distance, in sigma, may truly be.
 *
 * @shape   the estimate, the count of values behind the mean, the degrees of freedom of sigma, the confidence
 * @unit    dimensionless
 * @method  Bissell's normal approximation: estimate -+ z sqrt(1 / (9 n) + estimate^2 / (2 df))
 * @throws  RangeError for counts below one or a confidence out of range: a defect in the caller
 * @source  Bissell 1990, Applied Statistics 39:331-340 (from memory)
 * @checked tests/reference/spc/capability/interval.test.ts
 */
export function nearestInterval(estimate: number, n: number, df: number, confidence: number = CONFIDENCE): Interval {
  if (!(n >= 1 && df >= 1)) throw new RangeError(`an interval needs n and df of one or more, got ${n}, ${df}`);
  const half = normalQuantile((1 + confidence) / 2) * Math.sqrt(1 / (9 * n) + estimate ** 2 / (2 * df));
  return { estimate, lower: estimate - half, upper: estimate + half, confidence };
}
