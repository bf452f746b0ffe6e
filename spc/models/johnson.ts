import { normalCdf, normalQuantile } from "../library/normal.ts";
import type { DistributionModel } from "./model.ts";

/** Parameters of a Johnson distribution; the lognormal member, SL, has no lambda. */
export type JohnsonParameters =
  | {
      readonly form: "su" | "sb";
      readonly gamma: number;
      readonly delta: number;
      readonly xi: number;
      readonly lambda: number;
    }
  | { readonly form: "sl"; readonly gamma: number; readonly delta: number; readonly xi: number };

/**
 * Johnson model: a normal bent by one of three functions, which between them reach every skewness and kurtosis.
 *
 * @shape   delta and lambda above zero. SU has two open tails, SB two ends, SL one end at xi
 * @unit    that of the values
 * @method  z = gamma + delta f((x - xi) / lambda): f is asinh (SU), ln(u / (1 - u)) (SB), ln (SL, lambda 1)
 * @throws  RangeError for parameters that are none: a defect in the caller
 * @source  Johnson 1949, Biometrika 36:149-176 (from memory)
 * @checked tests/reference/spc/models/johnson.test.ts
 */
export function johnson(parameters: JohnsonParameters): DistributionModel {
  const { form, gamma, delta, xi } = parameters;
  const lambda = parameters.form === "sl" ? 1 : parameters.lambda;
  const sound = [gamma, delta, xi, lambda].every(Number.isFinite) && delta > 0 && lambda > 0;
  if (!sound) throw new RangeError(`a Johnson needs delta and lambda above zero, got ${JSON.stringify(parameters)}`);
  const { bend, straighten } = FORMS[form];
  return {
    form: `johnson-${form}`,
    parameters: form === "sl" ? { gamma, delta, xi } : { gamma, delta, xi, lambda },
    quantile: (p) => xi + lambda * bend((normalQuantile(p) - gamma) / delta),
    cdf: (x) => {
      const z = straighten((x - xi) / lambda);
      return z === -Infinity ? 0 : z === Infinity ? 1 : normalCdf(gamma + delta * z);
    },
  };
}

const FORMS = {
  su: { bend: Math.sinh, straighten: Math.asinh },
  sb: {
    bend: (v: number) => 1 / (1 + Math.exp(-v)),
    straighten: (u: number) => (u <= 0 ? -Infinity : u >= 1 ? Infinity : Math.log(u) - Math.log1p(-u)),
  },
  sl: { bend: Math.exp, straighten: (u: number) => (u > 0 ? Math.log(u) : -Infinity) },
} as const;
