import { chiSquareQuantile } from "../library/chi-square.ts";
import { gammaCdf, logGamma } from "../library/gamma.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { mean } from "../stats/moments.ts";
import { valuesToFit } from "./fitted-values.ts";
import type { DistributionModel } from "./model.ts";
import { rootBetween } from "./search.ts";

/** Shapes looked for: below, nearly all values are zero; above, a normal tells the same. */
const SHAPES = { from: 1e-2, to: 1e6 };

/**
 * Gamma model: sums of waiting times, and magnitudes with a moderate tail.
 *
 * @shape   shape and scale, both above zero
 * @unit    that of the values
 * @method  scale times half a chi-square with 2 shape degrees of freedom
 * @throws  RangeError for parameters that are none: a defect in the caller
 * @source  definition
 * @checked tests/reference/spc/models/fits.test.ts
 */
export function gamma(shape: number, scale: number): DistributionModel {
  if (!(shape > 0 && scale > 0 && shape < Infinity && scale < Infinity)) {
    throw new RangeError(`a gamma needs shape and scale above zero, got ${shape}, ${scale}`);
  }
  return {
    form: "gamma",
    parameters: { shape, scale },
    quantile: (p) => (scale * chiSquareQuantile(p, 2 * shape)) / 2,
    cdf: (x) => (x > 0 ? gammaCdf(x / scale, shape) : 0),
  };
}

/**
 * Gamma fitted: its shape and scale that make the values likeliest.
 *
 * @shape   25 or more values above zero, in any order
 * @unit    that of the values
 * @method  maximum likelihood: the shape k solves ln k - digamma(k) = ln mean x - mean ln x, scale = mean x / k
 * @refuses too-few, not-positive, zero-variation; no-fit for shapes outside 0.01 to 1,000,000
 * @throws  RangeError for a value that is no number: a defect in the caller
 * @cost    O(n)
 * @source  likelihood equations as in any text on reliability (from memory)
 * @checked tests/reference/spc/models/fits.test.ts
 */
export function fitGamma(values: readonly number[]): Outcome<DistributionModel> {
  const checked = valuesToFit(values, "above-zero");
  if (!checked.ok) return checked;
  const { scaled, scale } = checked.value;
  const centre = mean(scaled);
  const gap = Math.log(centre) - mean(scaled.map(Math.log));
  const score = (k: number): number => Math.log(k) - digamma(k) - gap;
  if (!(score(SHAPES.from) > 0 && score(SHAPES.to) < 0)) {
    return refuse("no-fit", "the values spread too little, or too far, for a gamma");
  }
  const shape = rootBetween(score, SHAPES.from, SHAPES.to);
  return ok(gamma(shape, scale * (centre / shape)));
}

/** Derivative of the library's logarithm of gamma, by central differences at three steps, extrapolated to step zero. */
function digamma(k: number): number {
  const slope = (h: number): number => (logGamma(k + h) - logGamma(k - h)) / (2 * h);
  const h = k / 64;
  const [wide, middle, narrow] = [slope(h), slope(h / 2), slope(h / 4)];
  const [one, two] = [middle + (middle - wide) / 3, narrow + (narrow - middle) / 3];
  return two + (two - one) / 15;
}
