import { normalCdf, normalDensity, normalQuantile } from "../library/normal.ts";
import type { SpreadEstimate } from "./spread.ts";

/**
 * Sigma from the median moving range: how much single values vary from one to the next, deaf to a few large steps.
 *
 * @shape   moving ranges of two, at least one; NaN stands for none
 * @unit    that of the characteristic; df dimensionless
 * @method  median MR / 0.953872552, the median of |N(0, 2)|; df as `medianMovingRangeDfShare` has it
 * @throws  RangeError without a range: a defect in the caller
 * @cost    O(m log m)
 * @source  NIST/SEMATECH e-Handbook 6.3.2.2 names the mean; median: common practice, no source; factor derived here
 * @checked tests/reference/spc/sigma/estimators.test.ts
 */
export function medianMovingRange(ranges: Float64Array): SpreadEstimate {
  const sorted = ranges.filter((range) => !Number.isNaN(range)).sort();
  const count = sorted.length;
  if (count === 0) throw new RangeError("a median moving range needs one or more numbers, got none");
  const median = (sorted[(count - 1) >> 1]! + sorted[count >> 1]!) / 2;
  return { sigma: median / medianRange(), df: count * medianMovingRangeDfShare() };
}

/**
 * Degrees of freedom that one moving range of two is worth where their median is taken: 0.303.
 *
 * @unit    dimensionless
 * @method  1 / (2 v), v the variance of the median over its square and per range, for many: (1/4 + 2 (P - 1/4)) over
 *          (m f(m))^2, f the density of |N(0, 2)| at its median m and P the chance that two neighbouring ranges both lie
 *          below it, integral phi(x) (Phi(x + m) - Phi(x - m))^2 dx over the value they share
 * @cost    O(1), some 340 evaluations of the normal
 * @source  variance of a sample quantile of 1-dependent values; derived here
 * @checked tests/reference/spc/sigma/estimators.test.ts
 */
export function medianMovingRangeDfShare(): number {
  const step = 1 / 20;
  const m = medianRange();
  let both = 0;
  for (let x = -8.5; x <= 8.5; x += step) both += normalDensity(x) * (normalCdf(x + m) - normalCdf(x - m)) ** 2;
  const density = Math.SQRT2 * normalDensity(m / Math.SQRT2);
  const variance = (0.25 + 2 * (step * both - 0.25)) / (m * density) ** 2;
  return 1 / (2 * variance);
}

/** Median of |N(0, 2)|: 0.953872552, in closed form what d4(2) finds by quadrature. */
function medianRange(): number {
  return Math.SQRT2 * normalQuantile(0.75);
}
