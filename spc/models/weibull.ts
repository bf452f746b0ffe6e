import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { mean } from "../stats/moments.ts";
import { valuesToFit } from "./fitted-values.ts";
import type { DistributionModel } from "./model.ts";
import { rootBetween } from "./search.ts";

/** Shapes looked for: beyond, the values spread less than a part in a million, or over more than any instrument's range. */
const SHAPES = { from: 1e-3, to: 1e6 };

/**
 * Weibull model: strengths, lives, and magnitudes with a longer tail on one side.
 *
 * @shape   shape and scale, both above zero
 * @unit    that of the values
 * @method  F(x) = 1 - exp(-(x / scale)^shape)
 * @throws  RangeError for parameters that are none: a defect in the caller
 * @source  definition; Weibull 1951, J. Appl. Mech. 18:293-297 (from memory)
 * @checked tests/reference/spc/models/fits.test.ts
 */
export function weibull(shape: number, scale: number): DistributionModel {
  if (!(shape > 0 && scale > 0 && shape < Infinity && scale < Infinity)) {
    throw new RangeError(`a Weibull needs shape and scale above zero, got ${shape}, ${scale}`);
  }
  return {
    form: "weibull",
    parameters: { shape, scale },
    quantile: (p) => scale * (-Math.log1p(-p)) ** (1 / shape),
    cdf: (x) => (x > 0 ? -Math.expm1(-((x / scale) ** shape)) : 0),
  };
}

/**
 * Weibull fitted: its shape and scale that make the values likeliest.
 *
 * @shape   25 or more values above zero, in any order
 * @unit    that of the values
 * @method  maximum likelihood: the shape k solves sum x^k ln x / sum x^k - 1 / k = mean ln x, scale^k = mean x^k
 * @refuses too-few, not-positive, zero-variation; no-fit for shapes outside 0.001 to 1,000,000
 * @throws  RangeError for a value that is no number: a defect in the caller
 * @cost    O(n), some 60 times
 * @source  likelihood equations as in any text on reliability (from memory)
 * @checked tests/reference/spc/models/fits.test.ts
 */
export function fitWeibull(values: readonly number[]): Outcome<DistributionModel> {
  const checked = valuesToFit(values, "above-zero");
  if (!checked.ok) return checked;
  const { scaled, scale } = checked.value;
  const logs = scaled.map(Math.log);
  const meanLog = mean(logs);
  const score = (k: number): number => {
    let powers = 0;
    let products = 0;
    for (const log of logs) {
      const power = Math.exp(k * log);
      powers += power;
      // A value of 1e-320 times nothing is nothing, not a NaN.
      if (power > 0) products += power * log;
    }
    return products / powers - 1 / k - meanLog;
  };
  if (!(score(SHAPES.from) < 0 && score(SHAPES.to) > 0)) {
    return refuse("no-fit", "the values spread too little, or too far, for a Weibull");
  }
  const shape = rootBetween(score, SHAPES.from, SHAPES.to);
  const size = scale * mean(logs.map((log) => Math.exp(shape * log))) ** (1 / shape);
  return ok(weibull(shape, size));
}
