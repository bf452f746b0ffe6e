import { ewmaVariance } from "../charts/ewma-width.ts";
import { checkPlan } from "./ewma-run-length.ts";
import { ewmaKernel, nodeCount } from "./ewma-run-length-kernel.ts";
import { gaussLegendre } from "./integral-equation.ts";

/**
 * Quantile of an EWMA's run length: within how many points a share of all runs has ended.
 *
 * @shape   the scheme with settled limits; the share, above 0 and below 1; the shift in sigma of the plotted average
 * @unit    dimensionless, whole points
 * @method  chance to survive t points by repeated integration; once it falls by the same share each point, as a
 *          geometric series
 * @throws  RangeError for a share that is no probability, or a wrong scheme: a defect in the caller
 * @cost    60^2 products a point, until the ratio settles
 * @source  derived here
 * @checked tests/property/spc/price-continuous/simulated.test.ts
 */
export function ewmaRunLengthQuantile(lambda: number, width: number, share: number, shift: number = 0): number {
  checkPlan({ lambda, width, limits: "asymptotic" }, shift);
  if (!(share > 0 && share < 1)) throw new RangeError(`a quantile needs a share above 0 and below 1, got ${share}`);
  const limit = width * Math.sqrt(ewmaVariance(lambda));
  const over = gaussLegendre(nodeCount(lambda, limit), -limit, limit);
  const kernel = ewmaKernel(lambda, shift);
  const n = over.nodes.length;
  const table = Array.from({ length: n }, (_, j) =>
    Float64Array.from(over.nodes, (from) => over.weights[j]! * kernel(from, over.nodes[j]!)),
  );
  const first = Float64Array.from(over.nodes, (node, j) => over.weights[j]! * kernel(0, node));
  let alive = new Float64Array(n).fill(1);
  let before = 1;
  let ratio = 0;
  for (let t = 1; ; t += 1) {
    const surviving = first.reduce((total, weight, j) => total + weight * alive[j]!, 0);
    if (surviving <= 1 - share) return t;
    const now = surviving / before;
    if (t > 5 && Math.abs(now - ratio) < 1e-13) {
      // The smallest whole t whose survival is at most what is left over.
      return t + Math.ceil(Math.log((1 - share) / surviving) / Math.log(now) - 1e-9);
    }
    ratio = now;
    before = surviving;
    const next = new Float64Array(n);
    for (let j = 0; j < n; j += 1) {
      const column = table[j]!;
      for (let i = 0; i < n; i += 1) next[i]! += column[i]! * alive[j]!;
    }
    alive = next;
  }
}
