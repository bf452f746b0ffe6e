import type { Outcome } from "../model/outcome.ts";
import { ok } from "../model/outcome.ts";
import { mean } from "../stats/moments.ts";
import { valuesToFit } from "./fitted-values.ts";
import type { DistributionModel } from "./model.ts";

/**
 * Rayleigh model: the length of a deviation in two directions, as of position or unbalance.
 *
 * @shape   sigma of each direction, above zero
 * @unit    that of the values
 * @method  F(x) = 1 - exp(-x^2 / (2 sigma^2))
 * @throws  RangeError for a sigma that is none: a defect in the caller
 * @source  definition
 * @checked tests/reference/spc/models/fits.test.ts
 */
export function rayleigh(sigma: number): DistributionModel {
  if (!(sigma > 0 && sigma < Infinity)) throw new RangeError(`a Rayleigh needs a sigma above zero, got ${sigma}`);
  return {
    form: "rayleigh",
    parameters: { sigma },
    quantile: (p) => sigma * Math.sqrt(-2 * Math.log1p(-p)),
    cdf: (x) => (x > 0 ? -Math.expm1(-0.5 * (x / sigma) ** 2) : 0),
  };
}

/**
 * Rayleigh fitted: its sigma that makes the values likeliest.
 *
 * @shape   25 or more values of zero or more, in any order
 * @unit    that of the values
 * @method  maximum likelihood: sigma^2 = mean x^2 / 2
 * @refuses too-few, not-positive, zero-variation
 * @throws  RangeError for a value that is no number: a defect in the caller
 * @cost    O(n)
 * @source  definition
 * @checked tests/reference/spc/models/fits.test.ts
 */
export function fitRayleigh(values: readonly number[]): Outcome<DistributionModel> {
  const checked = valuesToFit(values, "zero-and-above");
  if (!checked.ok) return checked;
  const { scaled, scale } = checked.value;
  return ok(rayleigh(scale * Math.sqrt(mean(scaled.map((x) => x * x)) / 2)));
}
