import { normalCdf, normalDensity } from "../library/normal.ts";
import { fredholm, gaussLegendre } from "./integral-equation.ts";

/**
 * Run length of an individuals chart whose points depend on each other: AR(1) values against given limits.
 *
 * @shape   phi, the lag-1 autocorrelation; half-width of the limits in sigma of the values; shift likewise
 * @unit    dimensionless, points
 * @method  L(x) = 1 + integral over the limits of L(y) f((y - phi x) / s) / s dy, s = sqrt(1 - phi^2), and the first point
 *          from the stationary normal, by Gauss-Legendre. Known centre, sigma and phi
 * @throws  RangeError for phi outside -1 to 1 or closer to them than 0.001, or a width not above zero: a defect in the caller
 * @cost    one linear system, some milliseconds
 * @source  Schmid 1995 (from memory); equation derived here
 * @checked tests/reference/spc/price-continuous/ar1.test.ts
 */
export function ar1RunLength(phi: number, width: number, shift: number = 0): number {
  checkPhi(phi);
  if (!(width > 0 && width < 20)) throw new RangeError(`a width must lie above 0 and below 20, got ${width}`);
  if (!Number.isFinite(shift)) throw new RangeError(`a shift must be a number, got ${shift}`);
  const step = Math.sqrt(1 - phi * phi);
  const over = gaussLegendre(
    Math.max(48, Math.min(800, Math.ceil(24 + (8 * width) / step))),
    -width - shift,
    width - shift,
  );
  const kernel = (from: number, to: number): number => normalDensity((to - phi * from) / step) / step;
  const rest = fredholm(over, kernel)(new Float64Array(over.nodes.length).fill(1));
  let length = 1;
  for (let j = 0; j < rest.length; j += 1) length += over.weights[j]! * normalDensity(over.nodes[j]!) * rest[j]!;
  return length;
}

/**
 * Moving-range sigma under dependence: what share of the true sigma the moving ranges of an AR(1) series show.
 *
 * @shape   phi, the lag-1 autocorrelation
 * @unit    dimensionless
 * @method  sqrt(1 - phi), exact for a normal AR(1) series
 * @throws  RangeError for phi outside -1 to 1: a defect in the caller
 * @cost    O(1)
 * @source  textbook identity: the variance of a difference of neighbours is 2 sigma^2 (1 - phi); no source
 * @checked tests/reference/spc/price-continuous/ar1.test.ts
 */
export function movingRangeShare(phi: number): number {
  checkPhi(phi);
  return Math.sqrt(1 - phi);
}

/**
 * False signals under dependence: the share of points beyond three moving-range sigma although nothing is wrong.
 *
 * @shape   phi, the lag-1 autocorrelation; half-width of the limits in moving-range sigma
 * @unit    dimensionless, 0 to 1
 * @method  2 F(-width sqrt(1 - phi)), F of the normal. One over it is not the run length: signals come in bunches
 * @throws  RangeError for phi outside -1 to 1: a defect in the caller
 * @cost    O(1)
 * @source  derived here
 * @checked tests/reference/spc/price-continuous/ar1.test.ts
 */
export function movingRangeFalseShare(phi: number, width: number = 3): number {
  return 2 * normalCdf(-width * movingRangeShare(phi));
}

function checkPhi(phi: number): void {
  if (!(Math.abs(phi) <= 0.999)) throw new RangeError(`phi must lie from -0.999 to 0.999, got ${phi}`);
}
