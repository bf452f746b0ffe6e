import { type Outcome, ok, refuse } from "../model/outcome.ts";
import { molarRatio } from "./humidity.ts";
import { mixingRatioOfVapour } from "./mixing-ratio.ts";
import { dewPointOfVapour, saturationSlope, vapourOfRelative } from "./moist-air.ts";
import { notPositive, shown } from "./range.ts";

/**
 * What stands before and behind a dryer. Every error is a half-width, all of one coverage.
 * `independent`: two probes, each with its own error. `matched`: one probe valved between both ducts, or two that were
 * set equal on an empty hot dryer; the error is what is left between them. `dew-point`: two mirrors.
 */
export type ProbePair =
  | { readonly kind: "independent"; readonly rhPercent: number; readonly temperatureK: number }
  | { readonly kind: "matched"; readonly rhPercent: number; readonly temperatureK: number }
  | { readonly kind: "dew-point"; readonly dewPointK: number };

/** Air as it leaves the dryer. */
export interface AirState {
  readonly tCel: number;
  readonly rhPercent: number;
  readonly pressureHpa: number;
}

/**
 * What the instruments can tell apart: error of the difference of two mixing ratios, return minus supply.
 *
 * @shape   pair: errors 0 or above; air: -45 to 100 Cel, 0 to 100 %, 500 to 1100 hPa
 * @unit    g/kg, half-width of the coverage of the pair's own errors
 * @method  dW/de = 621.98 p / (p - e)^2; by relative humidity: u^2 = (dW/de)^2 ((e_w u_RH / 100)^2 + (RH / 100 e_w' u_t)^2);
 *          by dew point: dW/de e_w'(t_d) u_d; independent probes and mirrors: times sqrt(2), as if both stood in this air
 * @refuses those of `vapourOfRelative`, `mixingRatioOfVapour` and, for mirrors, `dewPointOfVapour`
 * @throws  RangeError for an error that is no number of 0 or above
 * @cost    O(1)
 * @source  propagation of uncertainty: JCGM 100:2008, 5.1 (from memory); sensitivities derived here
 * @checked tests/reference/spc/physics/probe-pair.test.ts
 */
export function differenceError(pair: ProbePair, air: AirState): Outcome<number> {
  const errors = pair.kind === "dew-point" ? [pair.dewPointK] : [pair.rhPercent, pair.temperatureK];
  for (const error of errors) {
    if (!(error >= 0 && error < 1000))
      throw new RangeError(`a probe's error is 0 or above and below 1000, got ${error}`);
  }
  const { tCel, rhPercent, pressureHpa } = air;
  const vapour = vapourOfRelative(tCel, rhPercent);
  if (!vapour.ok) return vapour;
  const ratio = mixingRatioOfVapour(vapour.value, pressureHpa);
  if (!ratio.ok) return ratio;
  const byVapour = (molarRatio * pressureHpa) / (pressureHpa - vapour.value) ** 2;
  if (pair.kind === "dew-point") {
    const dewPoint = dewPointOfVapour(vapour.value);
    if (!dewPoint.ok) return dewPoint;
    const slope = saturationSlope(dewPoint.value);
    return slope.ok ? ok(Math.SQRT2 * byVapour * slope.value * pair.dewPointK) : slope;
  }
  const saturated = vapourOfRelative(tCel, 100);
  const slope = saturationSlope(tCel);
  if (!saturated.ok) return saturated;
  if (!slope.ok) return slope;
  const byHumidity = (saturated.value * pair.rhPercent) / 100;
  const byTemperature = (rhPercent / 100) * slope.value * pair.temperatureK;
  const one = byVapour * Math.hypot(byHumidity, byTemperature);
  return ok(pair.kind === "independent" ? Math.SQRT2 * one : one);
}

/**
 * Whether a pair of probes can tell an endpoint at all; an endpoint that only the probes' errors put there is none.
 *
 * @shape   limitGkg: the difference that ends drying, such as 0.2 g/kg; pair and air as in `differenceError`
 * @unit    g/kg: the error of the difference, which is no larger than the limit
 * @method  resolved where the error of the difference is at most the limit; the witness's weight is asked otherwise
 * @refuses `not-resolvable`, with the limit as `needs` and the error as `has`; `not-positive` for such a limit; those of
 *          `differenceError`
 * @throws  RangeError as `differenceError` does
 * @cost    O(1)
 * @source  common practice, no source: two probes of 2 % at 50 Cel cannot resolve 0.2 g/kg
 * @checked tests/reference/spc/physics/probe-pair.test.ts
 */
export function endpointResolution(pair: ProbePair, air: AirState, limitGkg: number): Outcome<number> {
  const strange = notPositive("the limit of an endpoint, in g/kg,", limitGkg);
  if (strange !== undefined) return strange;
  const error = differenceError(pair, air);
  if (!error.ok || error.value <= limitGkg) return error;
  const detail = `the endpoint cannot be resolved: the probes err by ${shown(error.value)} g/kg, the limit is ${limitGkg} g/kg`;
  return refuse("not-resolvable", detail, { needs: limitGkg, has: error.value });
}
