import { normalCdf, normalQuantile } from "../library/normal.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok } from "../model/outcome.ts";
import { mean } from "../stats/moments.ts";
import { valuesToFit } from "./fitted-values.ts";
import type { DistributionModel } from "./model.ts";

/**
 * Normal model: the bell curve.
 *
 * @shape   the mean; sigma above zero
 * @unit    that of the values
 * @method  mean + sigma z
 * @throws  RangeError for a sigma that is none: a defect in the caller
 * @source  definition
 * @checked tests/reference/spc/models/fits.test.ts
 */
export function normal(mu: number, sigma: number): DistributionModel {
  if (!(sigma > 0) || !Number.isFinite(mu))
    throw new RangeError(`a normal needs a sigma above zero, got ${mu}, ${sigma}`);
  return {
    form: "normal",
    parameters: { mu, sigma },
    quantile: (p) => mu + sigma * normalQuantile(p),
    cdf: (x) => normalCdf((x - mu) / sigma),
  };
}

/**
 * Normal fitted: its mean and sigma that make the values likeliest.
 *
 * @shape   25 or more finite values, in any order
 * @unit    that of the values
 * @method  maximum likelihood: the mean, and the root of the mean square about it with divisor n
 * @refuses too-few, zero-variation
 * @throws  RangeError for a value that is no number: a defect in the caller
 * @cost    O(n)
 * @source  definition
 * @checked tests/reference/spc/models/fits.test.ts
 */
export function fitNormal(values: readonly number[]): Outcome<DistributionModel> {
  const checked = valuesToFit(values, "any");
  if (!checked.ok) return checked;
  const { scaled, scale } = checked.value;
  const centre = mean(scaled);
  const sigma = Math.sqrt(mean(scaled.map((value) => (value - centre) ** 2)));
  return ok(normal(scale * centre, scale * sigma));
}
