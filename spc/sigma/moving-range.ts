import { d2 } from "../factors/d2.ts";
import { d3 } from "../factors/d3.ts";
import { meanOf } from "./means.ts";
import type { SpreadEstimate } from "./spread.ts";

/**
 * Sigma from the mean moving range: how much single values vary from one to the next, whatever happens over time.
 *
 * @shape   moving ranges, at least one; NaN stands for none
 * @unit    that of the characteristic; df dimensionless
 * @method  mean MR / d2(span). df for a span of two as `movingRangeDfShare` has it; for longer ones k / span whole
 *          ranges' worth, which is a lower bound: the mean of all overlapping ranges is the mean of `span` means of
 *          ranges that do not overlap, and varies no more than one of those
 * @throws  RangeError without a range: a defect in the caller
 * @cost    O(m)
 * @source  NIST/SEMATECH e-Handbook 6.3.2.2; degrees of freedom derived here
 * @checked tests/reference/spc/sigma/estimators.test.ts
 */
export function movingRangeSigmaOf(ranges: Float64Array, span = 2): SpreadEstimate {
  const { mean, count } = meanOf(ranges, "a mean moving range");
  const share = span === 2 ? movingRangeDfShare() : d2(span) ** 2 / (2 * d3(span) ** 2 * span);
  return { sigma: mean / d2(span), df: count * share };
}

/**
 * Degrees of freedom that one moving range of two is worth: 0.605.
 *
 * @unit    dimensionless
 * @method  d2^2 / (2 d3^2 (1 + 2 r)), r = 0.224 being the correlation of neighbouring ranges, from E|Z1 Z2| of two
 *          normals that correlate by -1/2
 * @source  derived here
 * @checked tests/reference/spc/charts/individuals.test.ts
 */
export function movingRangeDfShare(): number {
  const product = (4 / Math.PI) * (Math.sqrt(0.75) + 0.5 * Math.asin(0.5));
  const correlation = (product - d2(2) ** 2) / d3(2) ** 2;
  return d2(2) ** 2 / (2 * d3(2) ** 2 * (1 + 2 * correlation));
}
