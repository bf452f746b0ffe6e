import type { DistributionModel } from "./model.ts";
import { LOWER_TAIL, UPPER_TAIL } from "./model.ts";

/** Lines of a chart of single values whose distribution is not normal. */
export interface ModelLimits {
  readonly lower: number;
  readonly centre: number;
  readonly upper: number;
}

/**
 * Limits of a fitted model: as rarely passed by chance, on each side, as three sigma of a normal.
 *
 * @shape   a fitted model
 * @unit    that of the values
 * @method  quantiles at 0.00135, 0.5 and 0.99865
 * @source  definition; ISO 22514-2 uses the same quantiles (from memory)
 * @checked tests/reference/spc/models/fits.test.ts
 */
export function modelLimits(model: DistributionModel): ModelLimits {
  return { lower: model.quantile(LOWER_TAIL), centre: model.quantile(0.5), upper: model.quantile(UPPER_TAIL) };
}
