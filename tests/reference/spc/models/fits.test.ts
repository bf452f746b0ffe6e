import { expect, test } from "vitest";
import type { Outcome } from "../../../../spc/model/outcome.ts";
import { fitDistance } from "../../../../spc/models/fit-distance.ts";
import { fitFoldedNormal } from "../../../../spc/models/folded-normal.ts";
import { fitGamma } from "../../../../spc/models/gamma.ts";
import { fitLognormal } from "../../../../spc/models/lognormal.ts";
import type { DistributionModel } from "../../../../spc/models/model.ts";
import { modelLimits } from "../../../../spc/models/model-limits.ts";
import { fitNormal } from "../../../../spc/models/normal.ts";
import { fitRayleigh } from "../../../../spc/models/rayleigh.ts";
import { fitWeibull } from "../../../../spc/models/weibull.ts";
import { deviations, magnitudes } from "./samples.ts";

// Constructed values; every expected number comes from base R 4.2.2: the likelihood equations by uniroot with
// tolerance 1e-14, quantiles by qgamma, qweibull and uniroot, the folded normal by optim on its likelihood.
const fitted = (outcome: Outcome<DistributionModel>): DistributionModel => {
  if (!outcome.ok) throw new Error(outcome.refusal.detail);
  return outcome.value;
};
const close = (actual: number, expected: number, share: number): void =>
  expect(Math.abs(actual / expected - 1)).toBeLessThan(share);

test("the lognormal that makes the values likeliest", () => {
  const { mu, sigma } = fitted(fitLognormal(magnitudes)).parameters;
  close(mu!, 0.685151915749273, 1e-13);
  close(sigma!, 0.636676440554183, 1e-13);
});

test("the Weibull that makes the values likeliest, its limits and its distance", () => {
  const model = fitted(fitWeibull(magnitudes));
  close(model.parameters["shape"]!, 1.6310153338558, 1e-11);
  close(model.parameters["scale"]!, 2.73252067743987, 1e-11);
  const { lower, centre, upper } = modelLimits(model);
  close(lower, 0.0475672255937503, 1e-9);
  close(centre, 2.18258495040974, 1e-10);
  close(upper, 8.69654276365789, 1e-10);
  close(fitDistance(magnitudes, model), 0.353158070727517, 1e-9);
});

test("the gamma that makes the values likeliest, and its limits", () => {
  const model = fitted(fitGamma(magnitudes));
  close(model.parameters["shape"]!, 2.63780121684943, 1e-10);
  close(model.parameters["scale"]!, 0.919958126930071, 1e-10);
  const { lower, centre, upper } = modelLimits(model);
  close(lower, 0.130621545192785, 1e-9);
  close(centre, 2.12786438474348, 1e-9);
  close(upper, 9.36459825838427, 1e-9);
});

test("the Rayleigh that makes the values likeliest", () => {
  close(fitted(fitRayleigh(magnitudes)).parameters["sigma"]!, 2.06032602598068, 1e-13);
});

test("the folded normal that makes the values likeliest, and its limits", () => {
  const model = fitted(fitFoldedNormal(deviations));
  close(model.parameters["mu"]!, 0.956913629181767, 1e-6);
  close(model.parameters["sigma"]!, 0.714606495146843, 1e-6);
  const { lower, centre, upper } = modelLimits(model);
  close(lower, 0.00296368960944954, 1e-6);
  close(centre, 0.963367309524817, 1e-6);
  close(upper, 3.10071779748585, 1e-6);
});

test("the normal that makes the values likeliest has divisor n", () => {
  const { mu, sigma } = fitted(fitNormal(magnitudes)).parameters;
  close(mu!, 2.42666666666667, 1e-13);
  close(sigma!, 1.61281603276863, 1e-13);
});
