import { ewmaVariance } from "../charts/ewma-width.ts";
import { normalCdf } from "../library/normal.ts";
import { checkPlan } from "./ewma-run-length.ts";
import { ewmaKernel, integral, nodeCount } from "./ewma-run-length-kernel.ts";
import { fredholm, gaussLegendre } from "./integral-equation.ts";

/**
 * Run length of a one-sided EWMA: held at the centre from below, with an upper limit alone.
 *
 * @shape   lambda; width in sigma of the unheld EWMA; the shift in sigma of the plotted average
 * @unit    dimensionless, points
 * @method  Z = max(0, (1 - lambda) Z + lambda x) from Z = 0, settled limit; the integral equation with a mass at 0
 * @throws  RangeError for lambda outside 0.001 to 1, or a width or shift that is no number: a defect in the caller
 * @cost    one linear system, some milliseconds
 * @source  equation derived here, as for a CUSUM in Lucas and Crosier 1982, Technometrics 24:199-205 (from memory)
 * @checked tests/property/spc/price-continuous/simulated.test.ts
 */
export function ewmaOneSidedRunLength(lambda: number, width: number, shift: number = 0): number {
  checkPlan({ lambda, width, limits: "asymptotic" }, shift);
  const limit = width * Math.sqrt(ewmaVariance(lambda));
  const over = gaussLegendre(nodeCount(lambda, limit), 0, limit);
  const kernel = ewmaKernel(lambda, shift);
  const ends = (z: number): number => normalCdf(-((limit - (1 - lambda) * z) / lambda - shift));
  // Between two visits of zero: expected points, and the chance to cross the limit; no difference of like numbers.
  const solve = fredholm(over, kernel);
  const points = solve(new Float64Array(over.nodes.length).fill(1));
  const crossing = solve(over.nodes.map(ends));
  const length = 1 + integral(over, (y, j) => kernel(0, y) * points[j]!);
  return length / (ends(0) + integral(over, (y, j) => kernel(0, y) * crossing[j]!));
}
