import type { Caution } from "../model/drawn-chart.ts";
import { autocorrelationBand } from "../stats/autocorrelation.ts";
import { lagProducts } from "../stats/sums.ts";

/**
 * Lag-1 autocorrelation of what a change of level leaves unexplained.
 *
 * @shape   what is left at each place, about a mean of zero, finite
 * @unit    dimensionless
 * @method  sum e_t e_{t+1} / sum e_t^2; 0 where nothing is left
 * @cost    O(n)
 * @source  definition of the NIST Statistical Reference Datasets, univariate, about a known mean
 * @checked tests/unit/spc/changepoint/changepoint.test.ts
 */
export function residualLag(residuals: Float64Array): number {
  const squares = lagProducts(residuals, 0);
  return squares > 0 ? lagProducts(residuals, 1) / squares : 0;
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
export function dependenceCaution(residuals: Float64Array): readonly Caution[] {
  const lag = residualLag(residuals);
  const [low, high] = autocorrelationBand(residuals.length);
  if (lag >= low && lag <= high) return [];
  const text = `neighbouring values depend on each other (lag 1 is ${lag.toFixed(2)}), so the place of the change may be far off`;
  return [{ code: "autocorrelated", text }];
}
