import type { ChartDesign } from "../model/chart-design.ts";
import type { Grouped } from "../model/grouped.ts";
import type { Outcome } from "../model/outcome.ts";
import type { PreferredEstimator, SigmaEstimate } from "./location.ts";
import { locationFrom } from "./location.ts";

/** What a location chart and the spread chart beside it rest on. */
export interface Estimates {
  readonly location: Outcome<SigmaEstimate>;
  /** By the chart's own estimator, whatever the basis: what varies within subgroups, or from one value to the next. */
  readonly within: Outcome<SigmaEstimate>;
}

/**
 * Estimates for a location chart and its spread chart: one and the same, but on the basis `overall`.
 *
 * @shape   a baseline in its own right, and the means and standard deviations of its subgroups
 * @unit    that of the characteristic; df and n dimensionless
 * @method  as `estimateLocation`; on the basis `overall` only the location chart widens, for ranges and standard
 *          deviations within subgroups still vary by the sigma within
 * @refuses too-few, zero-variation, not-finite, each for itself
 * @cost    O(n) on the basis `overall`, else O(m)
 * @source  as `estimateLocation`; basis: derived here
 * @checked tests/unit/spc/drawn-variables/designs.test.ts
 */
export function estimatesFrom(
  baseline: Grouped,
  design: ChartDesign,
  means: Float64Array,
  sds: Float64Array,
  prefer: PreferredEstimator,
): Estimates {
  const location = locationFrom(baseline, design, means, sds, prefer);
  if (design.basis === "chart" || design.sigma !== null) return { location, within: location };
  return { location, within: locationFrom(baseline, { ...design, basis: "chart" }, means, sds, prefer) };
}
