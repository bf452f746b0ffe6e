import { normalCdf } from "../library/normal.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { extremes } from "./finite.ts";
import { median } from "./quantile.ts";

/** How often a series crosses its own median. */
export interface RunsAboutMedian {
  readonly runs: number;
  readonly above: number;
  readonly below: number;
  readonly expected: number;
  /** Below zero: too few runs, values cling to one side; above: too many. */
  readonly z: number;
  /** Two-sided chance of a z as far from zero where order means nothing; the normal's approximation. */
  readonly p: number;
}

/**
 * Runs about the median: whether values stay on one side longer, or change sides more often, than chance allows.
 *
 * @shape   finite values in time order; those equal to the median take no side and are passed over
 * @unit    counts; z dimensionless, p a probability
 * @method  with a above and b below: mean runs 2ab/(a+b) + 1, variance 2ab(2ab-a-b)/((a+b)^2 (a+b-1))
 * @refuses too-few when fewer than two lie on a side: the variance is then zero or not known
 * @throws  RangeError without values or for values that are not finite: a defect in the caller
 * @cost    O(n log n)
 * @source  NIST/SEMATECH e-Handbook 1.3.5.13 (from memory); ties passed over: common practice, no source
 * @checked tests/reference/spc/stats/series-statistics.test.ts
 */
export function runsAboutMedian(values: ArrayLike<number>): Outcome<RunsAboutMedian> {
  extremes(values);
  const middle = median(values);
  let above = 0;
  let below = 0;
  let runs = 0;
  let last = 0;
  for (let i = 0; i < values.length; i += 1) {
    const side = Math.sign(values[i]! - middle);
    if (side === 0) continue;
    if (side > 0) above += 1;
    else below += 1;
    if (side !== last) runs += 1;
    last = side;
  }
  const fewest = Math.min(above, below);
  if (fewest < 2) return refuse("too-few", "too few values on one side of the median", { needs: 2, has: fewest });
  const n = above + below;
  const twice = 2 * above * below;
  const expected = twice / n + 1;
  const z = (runs - expected) / Math.sqrt((twice * (twice - n)) / (n * n * (n - 1)));
  return ok({ runs, above, below, expected, z, p: 2 * normalCdf(-Math.abs(z)) });
}
