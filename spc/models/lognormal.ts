import { normalCdf, normalQuantile } from "../library/normal.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { mean } from "../stats/moments.ts";
import { valuesToFit } from "./fitted-values.ts";
import type { DistributionModel } from "./model.ts";

/**
 * Lognormal model: values whose logarithm is normal, as of effective vibration.
 *
 * @shape   mu and sigma of the natural logarithm; sigma above zero
 * @unit    that of the values
 * @method  exp(mu + sigma z)
 * @throws  RangeError for a sigma that is none: a defect in the caller
 * @source  definition
 * @checked tests/reference/spc/models/fits.test.ts
 */
export function lognormal(mu: number, sigma: number): DistributionModel {
  if (!(sigma > 0) || !Number.isFinite(mu)) {
    throw new RangeError(`a lognormal needs a sigma above zero, got ${mu}, ${sigma}`);
  }
  return {
    form: "lognormal",
    parameters: { mu, sigma },
    quantile: (p) => Math.exp(mu + sigma * normalQuantile(p)),
    cdf: (x) => (x > 0 ? normalCdf((Math.log(x) - mu) / sigma) : 0),
  };
}

/**
 * Lognormal fitted: its parameters that make the values likeliest.
 *
 * @shape   25 or more values above zero, in any order
 * @unit    that of the values
 * @method  maximum likelihood: mean of the logarithms, and the root of their mean square about it with divisor n
 * @refuses too-few, not-positive, zero-variation
 * @throws  RangeError for a value that is no number: a defect in the caller
 * @cost    O(n)
 * @source  definition
 * @checked tests/reference/spc/models/fits.test.ts
 */
export function fitLognormal(values: readonly number[]): Outcome<DistributionModel> {
  const checked = valuesToFit(values, "above-zero");
  if (!checked.ok) return checked;
  const logs = values.map(Math.log);
  const mu = mean(logs);
  const sigma = Math.sqrt(mean(logs.map((log) => (log - mu) ** 2)));
  // Neighbouring numbers far from zero have one logarithm.
  if (!(sigma > 0)) return refuse("zero-variation", "the logarithms of all values are equal");
  return ok(lognormal(mu, sigma));
}
