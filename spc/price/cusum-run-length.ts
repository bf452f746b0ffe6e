import { normalCdf, normalDensity } from "../library/normal.ts";
import { fredholm, gaussLegendre } from "./integral-equation.ts";
import type { RunLength } from "./run-length-moments.ts";
import { fromMoments } from "./run-length-moments.ts";

/** A tabular CUSUM of independent normal values with known centre and sigma; all in sigma of the plotted average. */
export interface CusumPlan {
  /** Reference value: half the shift that is to be found soonest. */
  readonly k: number;
  /** Decision interval. */
  readonly h: number;
  /** Where the sums start: h / 2 for a fast initial response, 0 without. */
  readonly headStart?: number;
}

/**
 * Run length of a one-sided CUSUM: how many points the upper sum lets pass until it lies beyond h.
 *
 * @shape   the scheme; the process's shift upwards from the centre, in sigma of the plotted average
 * @unit    dimensionless, points
 * @method  L(s) = 1 + L(0) F(k - s - shift) + integral from 0 to h of L(y) f(y - s + k - shift) dy, F and f of the normal,
 *          by Gauss-Legendre. Solved by visits to zero: expected points of a visit over the chance that it ends
 *          beyond h, which keeps all digits where that chance is tiny. The second moment likewise
 * @throws  RangeError for h not above zero or above 200, or a k, head start or shift out of range: a defect in the caller
 * @cost    one linear system, about a millisecond
 * @source  Page 1954, Biometrika 41:100-115; Lucas and Crosier 1982, Technometrics 24:199-205 (both from memory);
 *          solution by visits derived here
 * @checked tests/reference/spc/price-continuous/run-lengths.test.ts
 */
export function cusumOneSidedRunLength(scheme: CusumPlan, shift: number = 0): RunLength {
  const visits = solved(scheme, shift);
  const start = visits.from(scheme.headStart ?? 0);
  const average = visits.length(start);
  return fromMoments(average, visits.square(start));
}

/**
 * Run length of a two-sided CUSUM: how many points pass until the upper or the lower sum lies beyond h.
 *
 * @shape   the scheme, the same for both sides; the process's shift, in sigma of the plotted average
 * @unit    dimensionless, points
 * @method  1 / L = 1 / L+ + 1 / L- for sums that start at 0; with head start s, (L+(0) L-(s) + L-(0) L+(s) - L+(0) L-(0))
 *          / (L+(0) + L-(0)): when one side signals the other stands at zero
 * @throws  RangeError as the one-sided one, and for k below zero or a head start that is not below h: a defect in the caller
 * @cost    two linear systems, about two milliseconds
 * @source  Lucas and Crosier 1982, Technometrics 24:199-205 (from memory)
 * @checked tests/reference/spc/price-continuous/run-lengths.test.ts
 */
export function cusumRunLength(scheme: CusumPlan, shift: number = 0): number {
  if (!(scheme.k >= 0)) throw new RangeError(`two sums need a reference value of zero or more, got ${scheme.k}`);
  const s = scheme.headStart ?? 0;
  const [up, down] = [shift, -shift].map((towards) => {
    const visits = solved(scheme, towards);
    return { zero: visits.length(visits.from(0)), start: visits.length(visits.from(s)) };
  }) as [Sides, Sides];
  // Divided by the longer of the two, which may be beyond all bounds.
  const [short, long] = up.zero <= down.zero ? [up, down] : [down, up];
  const share = Number.isFinite(long.zero) ? short.zero / long.zero : 0;
  const kept = Number.isFinite(long.zero) ? long.start / long.zero : 1;
  return (short.zero * kept + short.start - short.zero) / (share + 1);
}

interface Sides {
  readonly zero: number;
  readonly start: number;
}

/** One visit from a level: points until the sum is at zero or beyond h, and how it ends. */
interface Visit {
  readonly points: number;
  readonly squares: number;
  readonly beyond: number;
}

function solved({ k, h, headStart = 0 }: CusumPlan, shift: number) {
  if (!(h > 0 && h <= 200)) throw new RangeError(`a decision interval must lie above 0 and at most 200, got ${h}`);
  if (!(Number.isFinite(k) && Number.isFinite(shift)))
    throw new RangeError(`k and shift must be numbers, got ${k}, ${shift}`);
  if (!(headStart >= 0 && headStart < h))
    throw new RangeError(`a head start must lie from 0 to below h, got ${headStart}`);
  const over = gaussLegendre(Math.max(48, Math.ceil(24 + 5 * h)), 0, h);
  const { nodes, weights } = over;
  const kernel = (from: number, to: number): number => normalDensity(to - from + k - shift);
  const ends = (s: number): number => normalCdf(s + shift - k - h);
  const solve = fredholm(over, kernel);
  const points = solve(new Float64Array(nodes.length).fill(1));
  const beyond = solve(nodes.map(ends));
  const squares = solve(points.map((value) => 2 * value - 1));
  const withEnd = solve(beyond);
  const integral = (s: number, f: Float64Array): number => {
    let total = 0;
    for (let j = 0; j < nodes.length; j += 1) total += weights[j]! * kernel(s, nodes[j]!) * f[j]!;
    return total;
  };
  const from = (s: number): Visit & { readonly pointsAndBeyond: number } => {
    const length = 1 + integral(s, points);
    const crossing = ends(s) + integral(s, beyond);
    return {
      points: length,
      squares: 2 * length - 1 + integral(s, squares),
      beyond: crossing,
      pointsAndBeyond: crossing + integral(s, withEnd),
    };
  };
  const zero = from(0);
  const zeroLength = zero.points / zero.beyond;
  type From = ReturnType<typeof from>;
  // N = T, and N' more from zero unless the visit ended beyond h; T and the end depend on each other.
  const back = (visit: From): number => visit.points - visit.pointsAndBeyond;
  const zeroSquare = (zero.squares + 2 * back(zero) * zeroLength) / zero.beyond;
  return {
    from,
    length: (visit: From): number => visit.points + (1 - visit.beyond) * zeroLength,
    square: (visit: From): number => visit.squares + 2 * back(visit) * zeroLength + (1 - visit.beyond) * zeroSquare,
  };
}
