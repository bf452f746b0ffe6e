import { normalCdf, normalDensity } from "../library/normal.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import type { WidthLaw } from "./estimated-width.ts";
import { widthOfMovingRange, widthOfS } from "./estimated-width.ts";
import type { Simulation } from "./simulated-run-length.ts";

/** What the limits rest on: so many plotted points of so many values each. */
export interface EstimatedFrom {
  /** `pooled-s`: within subgroups; `overall`: s of single values; `moving-range`: of single values. */
  readonly estimator: "pooled-s" | "overall" | "moving-range";
  readonly points: number;
  /** Values a point; 1 for `overall` and `moving-range`. */
  readonly size: number;
  /** Half-width of the limits in sigma of the plotted statistic; 3 unless said otherwise. */
  readonly limit?: number;
  readonly simulation?: Simulation;
}

/** What limits from a baseline of this size may turn out to be worth. */
export interface EstimatedLimits {
  /** Mean over all baselines of the chance of a false alarm at a point. */
  readonly falseAlarmRate: number;
  /** Mean run length in control; null where it does not exist, or a simulation cannot show it. */
  readonly meanRunLength: number | null;
  /** One baseline in ten gives limits with a shorter run length in control than this. */
  readonly tenthRunLength: number;
  readonly medianRunLength: number;
  /** Share of baselines whose limits have a run length in control at or below so many points. */
  shareBelow(runLength: number): number;
  /** Simulated baselines; null where the law of the estimate is known. */
  readonly draws: number | null;
}

/** Between places of the centre, in its own standard errors; the trapezoidal rule is exact for so smooth a sum. */
const STEP = 0.25;
/** On one side only: a centre too high does what one too low does. */
const PLACES = Array.from({ length: 33 }, (_, i) => i * STEP);
const WEIGHTS = PLACES.map((z) => (z === 0 ? 1 : 2) * STEP * normalDensity(z));
const FEWEST = 5;

/**
 * Estimated limits: what three-sigma limits from few values are worth, and how much that varies by luck.
 *
 * @shape   estimator of sigma, how many plotted points of how many values, half-width of the limits
 * @unit    chances a point; points
 * @method  given the errors of centre and sigma, independent of each other for normal values, a chart signals with
 *          chance p = 1 - Phi(d + k w) + Phi(d - k w); p is averaged over both, and the run length 1 / p is ranked. The
 *          law of s is known, that of a mean moving range is simulated
 * @refuses too-few
 * @throws  RangeError for counts or a width that cannot be meant
 * @cost    tens of milliseconds; with moving ranges O(draws points) beside it
 * @source  Quesenberry 1993, Journal of Quality Technology 25:237-247 (from memory); quadrature derived here
 * @checked tests/reference/spc/price-rules/estimated-limits.test.ts
 */
export function estimatedLimits(from: EstimatedFrom): Outcome<EstimatedLimits> {
  const found = widthLawOf(from);
  if (!found.ok) return found;
  const law = found.value;
  const { points, limit = 3 } = from;
  const centre = 1 / Math.sqrt(points);
  // The run length grows like exp(k^2 w^2 / 2): with few degrees of freedom its mean is infinite.
  const exists = law.draws === null && (limit * limit) / degreesOf(from) < 0.75;
  const shareBelow = (runLength: number): number => shareAtMost(runLength, law, limit, centre);
  return ok({
    // Averaged over the centre, a point and the centre's error are one normal together.
    falseAlarmRate: law.mean((width) => 2 * normalCdf((-width * limit) / Math.hypot(1, centre))),
    meanRunLength: exists ? law.mean((width) => overCentres((d) => 1 / alarm(d, width * limit), centre)) : null,
    tenthRunLength: ranked(0.1, shareBelow),
    medianRunLength: ranked(0.5, shareBelow),
    shareBelow,
    draws: law.draws,
  });
}

/**
 * Width law of an estimate: how the sigma that lines were drawn from may lie about the true one.
 *
 * @shape   what the lines rest on
 * @unit    dimensionless, over sigma
 * @method  chi for s, simulation for moving ranges
 * @refuses too-few
 * @throws  RangeError for counts or a width that cannot be meant
 * @source  textbook distribution, no source
 * @checked tests/reference/spc/price-rules/estimated-limits.test.ts
 */
export function widthLawOf(from: EstimatedFrom): Outcome<WidthLaw> {
  const { estimator, points, size, limit = 3, simulation = { trials: 10_000, seed: 20261125 } } = from;
  if (!(Number.isInteger(points) && points >= 0 && Number.isInteger(size) && size >= 1 && limit > 0 && limit < 8)) {
    throw new RangeError(`limits of ${limit} sigma from ${points} points of ${size} values cannot be meant`);
  }
  if ((estimator === "pooled-s") !== size > 1)
    throw new RangeError(`${estimator} does not go with ${size} values a point`);
  if (points < FEWEST) {
    return refuse("too-few", `${FEWEST} points at least are needed to say what limits from them are worth`, {
      needs: FEWEST,
      has: points,
    });
  }
  return ok(estimator === "moving-range" ? widthOfMovingRange(points, simulation) : widthOfS(degreesOf(from), limit));
}

function degreesOf({ estimator, points, size }: EstimatedFrom): number {
  return estimator === "pooled-s" ? points * (size - 1) : points - 1;
}

/** Chance of a point beyond limits of half-width `reach` that stand `off` beside the true centre. */
function alarm(off: number, reach: number): number {
  return normalCdf(off - reach) + normalCdf(-off - reach);
}

function overCentres(of: (off: number) => number, centre: number): number {
  return PLACES.reduce((sum, z, i) => sum + WEIGHTS[i]! * of(z * centre), 0);
}

/** Share of baselines with a run length at or below a bound: wherever the centre fell, sigma came out below a width. */
function shareAtMost(runLength: number, law: WidthLaw, limit: number, centre: number): number {
  if (!(runLength > 1)) return 0;
  return Math.min(
    overCentres((off) => law.below(reachOf(1 / runLength, off) / limit), centre),
    1,
  );
}

/** Half-width of limits, `off` beside the true centre, that give a chance of an alarm. */
function reachOf(chance: number, off: number): number {
  let reach = 3;
  for (let i = 0; i < 60; i += 1) {
    // The logarithm of the chance is concave, so that Newton's steps cannot miss.
    const now = alarm(off, reach);
    const slope = (normalDensity(off - reach) + normalDensity(off + reach)) / now;
    const next = Math.max(reach + Math.log(now / chance) / slope, 0);
    if (Math.abs(next - reach) < 1e-13) return next;
    reach = next;
  }
  return reach;
}

/** The run length that a share of baselines do not exceed. */
function ranked(share: number, shareBelow: (runLength: number) => number): number {
  let low = 0;
  let high = Math.log(1e15);
  for (let i = 0; i < 40; i += 1) {
    const middle = (low + high) / 2;
    if (shareBelow(Math.exp(middle)) < share) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2);
}
