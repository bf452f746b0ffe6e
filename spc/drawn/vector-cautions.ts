import type { Caution } from "../model/drawn-chart.ts";
import type { Vectors } from "../model/vectors.ts";
import type { VectorEstimate } from "./vector-estimate.ts";

/**
 * Cautions on vectors: what was left out, and what the limit does not hold exactly for.
 *
 * @shape   vectors and the estimate of their covariance
 * @unit    dimensionless
 * @source  nothing is made up for a missing component: common practice, no source
 * @checked tests/unit/spc/multivariate/t2.test.ts
 */
export function vectorCautions({ incomplete }: Vectors, { estimator }: VectorEstimate): readonly Caution[] {
  const cautions: Caution[] = [];
  if (incomplete > 0) {
    const text = `${incomplete} vectors lack a component and are left out: nothing is made up for it`;
    cautions.push({ code: "missing-component", text });
  }
  if (estimator === "successive-differences") {
    const text = "with a covariance from successive differences the limit is an approximation";
    cautions.push({ code: "approximate-limit", text });
  }
  return cautions;
}
