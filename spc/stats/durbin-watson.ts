import type { Column } from "../model/column.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok } from "../model/outcome.ts";
import { columnAutocorrelations } from "./column-autocorrelation.ts";

/** How neighbours differ, against how values spread. */
export interface NeighbourRatio {
  /** Near 2 for independent values, near 2 (1 - r1) otherwise. */
  readonly durbinWatson: number;
  /** Mean square successive difference over the variance with divisor n; 2 n / (n - 1) is its mean. */
  readonly vonNeumann: number;
}

/**
 * Durbin-Watson statistic of values about their mean, and the von Neumann ratio: whether neighbours are alike.
 *
 * @shape   a column in time order; a place without a number keeps its place
 * @unit    dimensionless
 * @method  d = sum (x_t - x_{t-1})^2 / sum (x_t - m)^2; von Neumann's ratio is d n / (n - 1). With places missing the
 *          sum over the pairs that are left is scaled by (n - 1) / pairs
 * @refuses too-few for fewer than two values or no two neighbours; zero-variation
 * @cost    O(n)
 * @source  Durbin and Watson 1950, Biometrika 37:409-428; von Neumann 1941, Annals of Mathematical Statistics
 *          12:367-395 (both from memory)
 * @checked tests/reference/spc/stats/series-statistics.test.ts
 */
export function neighbourRatio(column: Column): Outcome<NeighbourRatio> {
  const found = columnAutocorrelations(column, 1);
  if (!found.ok) return found;
  const { n, neighbours } = found.value;
  return ok({ durbinWatson: neighbours, vonNeumann: (neighbours * n) / (n - 1) });
}
