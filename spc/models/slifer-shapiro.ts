import { normalCdf } from "../library/normal.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { quantile } from "../stats/quantile.ts";
import { LAST_DIGITS, valuesToFit } from "./fitted-values.ts";
import type { JohnsonParameters } from "./johnson.ts";
import { johnson } from "./johnson.ts";
import type { DistributionModel } from "./model.ts";
import { normal } from "./normal.ts";

/** Values at -3z, -z, z and 3z of a standard normal, ascending. */
export type FourQuantiles = readonly [number, number, number, number];

/** Distances between four quantiles, from which the form of a Johnson distribution is told. */
export interface QuantileGaps {
  readonly m: number;
  readonly n: number;
  readonly p: number;
  /** m n / p^2: above one SU, below one SB, at one SL. */
  readonly ratio: number;
}

/** Common choice for some tens to hundreds of values; Slifer and Shapiro 1980 (from memory). */
const USUAL_Z = 0.524;
/** A ratio this near to one is one; our own choice, for no data tell more. */
const BAND = 1e-3;

/**
 * Gaps between four quantiles: how much longer the tails are than the middle.
 *
 * @shape   four quantiles, ascending
 * @unit    that of the values; the ratio dimensionless
 * @method  m = x(3z) - x(z), n = x(-z) - x(-3z), p = x(z) - x(-z), ratio = m n / p^2
 * @source  Slifer and Shapiro 1980, Technometrics 22:239-246 (from memory)
 * @checked tests/reference/spc/models/johnson.test.ts
 */
export function quantileGaps([lowest, low, high, highest]: FourQuantiles): QuantileGaps {
  const m = highest - high;
  const n = low - lowest;
  const p = high - low;
  return { m, n, p, ratio: (m / p) * (n / p) };
}

/**
 * Johnson by four quantiles: the one distribution of the family that goes through them.
 *
 * @shape   four quantiles, ascending, and the z that they were taken at, above zero
 * @unit    that of the values
 * @method  SU, SB or SL by the ratio, SL within 0.001 of one, each solved in closed form
 * @refuses no-fit for quantiles that coincide, and for a ratio of one with the longer tail to the left, which SL has not
 * @throws  RangeError for quantiles that are no numbers or a z that is none: a defect in the caller
 * @source  Slifer and Shapiro 1980, Technometrics 22:239-246 (from memory; proven by exact round trips)
 * @checked tests/reference/spc/models/johnson.test.ts
 */
export function johnsonThrough(quantiles: FourQuantiles, z: number): Outcome<DistributionModel> {
  if (!(z > 0 && z < Infinity) || !quantiles.every(Number.isFinite)) {
    throw new RangeError(`a Johnson goes through four numbers at a z above zero, got ${quantiles} at ${z}`);
  }
  const { m, n, p, ratio } = quantileGaps(quantiles);
  const least = LAST_DIGITS * Math.max(...quantiles.map(Math.abs));
  if (!(Math.min(m, n, p) > least && ratio > 0 && ratio < Infinity)) {
    return refuse("no-fit", "the quantiles coincide or lie too far apart for a Johnson curve");
  }
  const middle = quantiles[1] / 2 + quantiles[2] / 2;
  if (Math.abs(ratio - 1) <= BAND) {
    if (Math.abs(m / p - 1) <= BAND) return ok(normal(middle, p / (2 * z)));
    return m > p
      ? modelOf(lognormalMember(m, p, z, middle))
      : refuse("no-fit", "a lognormal curve has no tail to the left");
  }
  return modelOf(ratio > 1 ? unbounded(m, n, p, z, middle) : bounded(m, n, p, z, middle));
}

/**
 * Johnson fitted: through the quantiles of the values at -3z, -z, z and 3z.
 *
 * @shape   25 or more finite values, in any order; z above zero, 0.524 unless there is a reason
 * @unit    that of the values
 * @method  quantiles by rank p (n + 1), then `johnsonThrough`
 * @refuses too-few, zero-variation, no-fit; too-few when 3z lies beyond what so few values show
 * @throws  RangeError for a value that is no number or a z that is none: a defect in the caller
 * @cost    O(n log n)
 * @source  Slifer and Shapiro 1980, Technometrics 22:239-246 (from memory)
 * @checked tests/unit/spc/models/fits.test.ts
 */
export function fitJohnson(values: readonly number[], z: number = USUAL_Z): Outcome<DistributionModel> {
  if (!(z > 0 && z < Infinity)) throw new RangeError(`a z above zero is needed, got ${z}`);
  const checked = valuesToFit(values, "any");
  if (!checked.ok) return checked;
  const outermost = normalCdf(-3 * z);
  const needs = Math.ceil(1 / outermost);
  if (values.length < needs) {
    return refuse("too-few", `${values.length} values do not reach 3z = ${3 * z}`, { needs, has: values.length });
  }
  const at = (deviation: number): number => quantile(values, normalCdf(deviation));
  return johnsonThrough([at(-3 * z), at(-z), at(z), at(3 * z)], z);
}

function unbounded(m: number, n: number, p: number, z: number, middle: number): JohnsonParameters {
  const [a, b] = [m / p, n / p];
  const root = Math.sqrt(a * b - 1);
  const delta = (2 * z) / Math.acosh((a + b) / 2);
  return {
    form: "su",
    gamma: delta * Math.asinh((b - a) / (2 * root)),
    delta,
    xi: middle + (p * (b - a)) / (2 * (a + b - 2)),
    lambda: (2 * p * root) / ((a + b - 2) * Math.sqrt(a + b + 2)),
  };
}

function bounded(m: number, n: number, p: number, z: number, middle: number): JohnsonParameters {
  const [a, b] = [p / m, p / n];
  const product = (1 + a) * (1 + b);
  const delta = z / Math.acosh(Math.sqrt(product) / 2);
  const lambda = (p * Math.sqrt((product - 2) ** 2 - 4)) / (a * b - 1);
  return {
    form: "sb",
    gamma: delta * Math.asinh(((b - a) * Math.sqrt(product - 4)) / (2 * (a * b - 1))),
    delta,
    xi: middle - lambda / 2 + (p * (b - a)) / (2 * (a * b - 1)),
    lambda,
  };
}

function lognormalMember(m: number, p: number, z: number, middle: number): JohnsonParameters {
  const a = m / p;
  const delta = (2 * z) / Math.log(a);
  return {
    form: "sl",
    gamma: delta * Math.log((a - 1) / (p * Math.sqrt(a))),
    delta,
    xi: middle - (p / 2) * ((a + 1) / (a - 1)),
  };
}

/** Quantiles near the ends of the range of numbers may leave a parameter that is none. */
function modelOf(parameters: JohnsonParameters): Outcome<DistributionModel> {
  const { gamma, delta, xi } = parameters;
  const lambda = parameters.form === "sl" ? 1 : parameters.lambda;
  const sound = [gamma, delta, xi, lambda].every(Number.isFinite) && delta > 0 && lambda > 0;
  return sound ? ok(johnson(parameters)) : refuse("no-fit", "the quantiles lie too far apart for a Johnson curve");
}
