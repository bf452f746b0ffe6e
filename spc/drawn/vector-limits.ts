import { betaQuantile } from "../library/beta.ts";
import { chiSquareQuantile } from "../library/chi-square.ts";
import { fQuantile } from "../library/fisher-f.ts";
import type { VectorEstimate } from "./vector-estimate.ts";

/**
 * Limit of T2: how far chance takes a subgroup or a single vector of a stable process.
 *
 * @shape   the estimate, p components, n vectors at the place, the phase, the chance alpha of a point beyond
 * @unit    dimensionless
 * @method  known parameters: chi-square with p. Subgroups, with N vectors and v degrees of freedom behind them:
 *          (1 - n / N) in Phase 1, (1 + n / N) in Phase 2, times p v / (v - p + 1) F(p, v - p + 1); for m subgroups of one
 *          size this is p (m -+ 1)(n - 1) / (m n - m - p + 1) F. Single vectors: (m - 1)^2 / m Beta(p / 2, (m - p - 1) / 2)
 *          in Phase 1; Phase 2 as above with v = m - 1. With successive differences Phase 1 takes chi-square with p, which
 *          on average over a baseline of p^2 + 3 p vectors keeps to alpha within a fifth, twice as much at its two ends
 * @throws  RangeError for an alpha that is no chance, or too few degrees of freedom: a defect in the caller
 * @cost    O(1)
 * @source  Alt 1985; Tracy, Young and Mason 1992, Journal of Quality Technology 24:88-95; successive differences:
 *          Williams, Woodall, Birch and Sullivan 2006, Journal of Quality Technology 38:217-229 (all from memory); unequal sizes derived here
 * @checked tests/reference/spc/multivariate/t2.test.ts
 */
export function t2Limit(estimate: VectorEstimate, p: number, n: number, phase: 1 | 2, alpha: number): number {
  const { df, vectors, estimator } = estimate;
  if (df === null) return chiSquareQuantile(1 - alpha, p);
  if (phase === 1 && estimator === "successive-differences") return chiSquareQuantile(1 - alpha, p);
  if (phase === 1 && estimator === "overall")
    return ((vectors - 1) ** 2 / vectors) * betaQuantile(1 - alpha, p / 2, (df - p) / 2);
  const share = phase === 1 ? 1 - n / vectors : 1 + n / vectors;
  return ((share * p * df) / (df - p + 1)) * fQuantile(1 - alpha, p, df - p + 1);
}
