import type { Caution } from "../model/drawn-chart.ts";
import { autocorrelationBand } from "../stats/autocorrelation.ts";
import { exactSum } from "../stats/exact-sum.ts";

/**
 * Lag-1 autocorrelation of what a change of level leaves unexplained.
 *
 * @shape   `residual(i)`: what is left at place i, about a mean of zero, finite; `n` how many
 * @unit    dimensionless
 * @method  sum e_t e_{t+1} / sum e_t^2; 0 where nothing is left
 * @cost    O(n)
 * @source  definition of the NIST Statistical Reference Datasets, univariate, about a known mean
 * @checked tests/unit/spc/changepoint/changepoint.test.ts
 */
export function residualLag(residual: (i: number) => number, n: number): number {
  const squares = exactSum(n, (i) => residual(i) ** 2);
  if (!(squares > 0)) return 0;
  return exactSum(n - 1, (i) => residual(i) * residual(i + 1)) / squares;
}

/**
 * Dependence caution: told where neighbours depend on each other beyond what a change of level explains.
 *
 * @shape   as `residualLag`
 * @unit    none
 * @method  `autocorrelated` when lag 1 lies outside its 95 % band
 * @cost    O(n)
 * @source  NIST/SEMATECH e-Handbook 1.3.3.1 (from memory); Perry and Pignatiello 2010: the estimate for independent
 *          values is then badly misplaced
 * @checked tests/unit/spc/changepoint/changepoint.test.ts
 */
export function dependenceCaution(residual: (i: number) => number, n: number): readonly Caution[] {
  const lag = residualLag(residual, n);
  const [low, high] = autocorrelationBand(n);
  if (lag >= low && lag <= high) return [];
  const text = `neighbouring values depend on each other (lag 1 is ${lag.toFixed(2)}), so the place of the change may be far off`;
  return [{ code: "autocorrelated", text }];
}
