import { normalCdf } from "../library/normal.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { mean } from "../stats/moments.ts";
import { valuesToFit } from "./fitted-values.ts";
import type { DistributionModel } from "./model.ts";
import { rootBetween } from "./search.ts";

/** The normal holds less than 1e-23 beyond. */
const REACH = 10;

/**
 * Folded normal model: a normal deviation whose sign is lost, as of runout or flatness; with mu 0 the half normal.
 *
 * @shape   mu of zero or more and sigma above zero, both of the deviation before its sign was lost
 * @unit    that of the values
 * @method  F(x) = Phi((x - mu) / sigma) - Phi((-x - mu) / sigma); the quantile by bisection
 * @throws  RangeError for parameters that are none: a defect in the caller
 * @source  Leone, Nelson, Nottingham 1961, Technometrics 3:543-550 (from memory)
 * @checked tests/reference/spc/models/fits.test.ts
 */
export function foldedNormal(mu: number, sigma: number): DistributionModel {
  if (!(mu >= 0 && sigma > 0 && mu < Infinity && sigma < Infinity)) {
    throw new RangeError(`a folded normal needs mu >= 0 and sigma > 0, got ${mu}, ${sigma}`);
  }
  const cdf = (x: number): number => (x > 0 ? normalCdf((x - mu) / sigma) - normalCdf((-x - mu) / sigma) : 0);
  return {
    form: "folded-normal",
    parameters: { mu, sigma },
    quantile(p) {
      if (!(p > 0 && p < 1)) throw new RangeError(`a quantile needs 0 < p < 1, got ${p}`);
      return rootBetween((x) => cdf(x) - p, 0, mu + REACH * sigma);
    },
    cdf,
  };
}

/**
 * Folded normal fitted: its mu and sigma that make the values likeliest.
 *
 * @shape   25 or more values of zero or more, in any order
 * @unit    that of the values
 * @method  maximum likelihood: mu solves mean(x tanh(mu x / sigma^2)) = mu with sigma^2 = mean x^2 - mu^2; mu is 0
 *          where the mean fourth power is three times the squared mean square or more, for then only 0 solves it
 * @refuses too-few, not-positive, zero-variation
 * @throws  RangeError for a value that is no number: a defect in the caller
 * @cost    O(n), some 60 times
 * @source  likelihood equations derived here
 * @checked tests/reference/spc/models/fits.test.ts
 */
export function fitFoldedNormal(values: readonly number[]): Outcome<DistributionModel> {
  const checked = valuesToFit(values, "zero-and-above");
  if (!checked.ok) return checked;
  const { scaled, scale } = checked.value;
  const size = Math.sqrt(mean(scaled.map((x) => x * x)));
  const units = scaled.map((x) => x / size);
  const score = (mu: number): number => mean(units.map((x) => x * Math.tanh((mu * x) / (1 - mu * mu)))) - mu;
  // The score leaves zero as mu^3 (1 - m4 / 3): upwards only when the tails are shorter than the half normal's.
  const near = 1e-3;
  const far = 1 - 1e-14;
  if (score(far) >= 0) return refuse("zero-variation", "the values do not vary beyond the last digits");
  const mu = score(near) > 0 ? rootBetween(score, near, far) : 0;
  const sigma = Math.sqrt(1 - mu * mu);
  return ok(foldedNormal(scale * size * mu, scale * size * sigma));
}
