import { ewmaFactor, ewmaVariance } from "../charts/ewma-width.ts";
import { ewmaKernel, integral, nodeCount } from "./ewma-run-length-kernel.ts";
import type { Quadrature } from "./integral-equation.ts";
import { fredholm, gaussLegendre } from "./integral-equation.ts";
import type { RunLength } from "./run-length-moments.ts";
import { fromMoments } from "./run-length-moments.ts";

/** An EWMA of independent normal values with known centre and sigma. */
export interface EwmaPlan {
  readonly lambda: number;
  /** Half-width in sigma of the EWMA. */
  readonly width: number;
  /** `exact`: limits that widen with the points since the start; `asymptotic`: where they settle. */
  readonly limits: "exact" | "asymptotic";
  /** Fast initial response: the narrower limits of the start, as a share of the first half-width. None without. */
  readonly headStart?: number | null;
}

/** What is left of the start when limits count as settled: far below the digits that anybody asks for. */
const SETTLED = 1e-10;

/**
 * Run length of an EWMA: how many points it lets pass until one lies beyond a limit.
 *
 * @shape   the scheme; the process's shift from the centre, in sigma of the plotted average, from the first point on
 * @unit    dimensionless, points
 * @method  asymptotic limits: L(z) = 1 + integral over the limits of L(y) f((y - (1 - lambda) z) / lambda - shift) / lambda
 *          dy, f the normal density, by Gauss-Legendre; at z = 0. Exact limits and head start: the density of what
 *          survives point by point, until the limits stand still within 1e-10, then the equation above. Independent
 *          normal values, known centre and sigma
 * @throws  RangeError for lambda outside 0.001 to 1, or a width or shift that is no number: a defect in the caller
 * @cost    asymptotic: one linear system, some milliseconds; exact: 60^2 kernels a point until the limits settle,
 *          a hundredth of a second at lambda 0.2, a tenth at 0.05, and longer the smaller lambda is
 * @source  Crowder 1987, Technometrics 29:401-407; Lucas and Saccucci 1990, Technometrics 32:1-12 (both from memory)
 * @checked tests/reference/spc/price-continuous/run-lengths.test.ts
 */
export function ewmaRunLength(scheme: EwmaPlan, shift: number = 0): RunLength {
  checkPlan(scheme, shift);
  const { lambda, width } = scheme;
  const settled = width * Math.sqrt(lambda / (2 - lambda));
  const over = gaussLegendre(nodeCount(lambda, settled), -settled, settled);
  const kernel = ewmaKernel(lambda, shift);
  const solve = fredholm(over, kernel);
  const first = solve(new Float64Array(over.nodes.length).fill(1));
  // E N^2 = 1 + 2 E(rest) + E(rest^2), so that the second moment has the right-hand side 2 L - 1.
  const second = solve(first.map((value) => 2 * value - 1));
  if (scheme.limits === "asymptotic" && scheme.headStart == null) {
    const average = 1 + integral(over, (y, j) => kernel(0, y) * first[j]!);
    return fromMoments(average, 2 * average - 1 + integral(over, (y, j) => kernel(0, y) * second[j]!));
  }
  return afterStart(scheme, kernel, over, first, second);
}

/** Points one by one until the limits have settled; what is alive then goes on as under settled limits. */
function afterStart(
  scheme: EwmaPlan,
  kernel: (from: number, to: number) => number,
  over: Quadrature,
  first: Float64Array,
  second: Float64Array,
): RunLength {
  const { lambda, width } = scheme;
  const n = over.nodes.length;
  let average = 1;
  let squares = 1;
  let t = 1;
  let at: Quadrature | null = null;
  let alive = new Float64Array(n);
  for (; ; t += 1) {
    const factor = ewmaFactor(scheme.headStart ?? null, t);
    const share = scheme.limits === "exact" ? 1 - (1 - lambda) ** (2 * t) : 1;
    const half = width * Math.sqrt(ewmaVariance(lambda) * share) * factor;
    const last = 1 - share < SETTLED && 1 - factor < SETTLED;
    const here = last ? over : gaussLegendre(n, -half, half);
    alive = at === null ? here.nodes.map((node) => kernel(0, node)) : carried(at, alive, kernel, here);
    at = here;
    if (last) break;
    const surviving = integral(here, (_, j) => alive[j]!);
    average += surviving;
    squares += (2 * t + 1) * surviving;
    // Nobody is left: what follows adds nothing.
    if (surviving < 1e-300) return fromMoments(average, squares);
  }
  // N = t + rest for what is alive after point t; the sums above hold P(N > 0) to P(N > t - 1).
  const rest = integral(over, (_, j) => alive[j]! * first[j]!);
  const restSquares = integral(over, (_, j) => alive[j]! * second[j]!);
  return fromMoments(average + rest, squares + 2 * t * rest + restSquares);
}

/** Density at the nodes of the next point, of what was alive at those of the last. */
function carried(
  { nodes, weights }: Quadrature,
  alive: Float64Array,
  kernel: (from: number, to: number) => number,
  to: Quadrature,
): Float64Array<ArrayBuffer> {
  const next = new Float64Array(nodes.length);
  for (let j = 0; j < nodes.length; j += 1) {
    const weight = weights[j]! * alive[j]!;
    if (weight === 0) continue;
    const from = nodes[j]!;
    for (let i = 0; i < next.length; i += 1) next[i]! += weight * kernel(from, to.nodes[i]!);
  }
  return next;
}

/**
 * Check of a plan: whether the run length of such an EWMA can be had.
 *
 * @shape   the plan, the shift in sigma of the plotted average
 * @unit    dimensionless
 * @throws  RangeError for a part that is out of range: a defect in the caller
 * @source  derived here
 * @checked tests/unit/spc/price-continuous/integral-equation.test.ts
 */
export function checkPlan({ lambda, width, headStart }: EwmaPlan, shift: number): void {
  if (!(lambda >= 0.001 && lambda <= 1)) throw new RangeError(`lambda must lie from 0.001 to 1, got ${lambda}`);
  if (!(width > 0 && width < 20)) throw new RangeError(`a width must lie above 0 and below 20, got ${width}`);
  if (!Number.isFinite(shift)) throw new RangeError(`a shift must be a number, got ${shift}`);
  if (headStart != null && !(headStart > 0 && headStart < 1))
    throw new RangeError(`a head start must lie above 0 and below 1, got ${headStart}`);
}
