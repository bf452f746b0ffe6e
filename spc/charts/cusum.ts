import type { ChartPoint, Verdict } from "../model/point.ts";
import { judge } from "../model/point.ts";
import type { Stage, Step } from "../model/stage.ts";
import type { Weighed } from "./ewma.ts";

/** What Phase 1 freezes for a CUSUM. */
export interface CusumScheme {
  readonly centre: number;
  /** Of single values, above zero. */
  readonly sigma: number;
  /** Reference value and decision interval, in sigma of the plotted average. */
  readonly k: number;
  readonly h: number;
  /** Where both sums start, and start again after a correction: h / 2 for a fast initial response, 0 without. */
  readonly headStart: number;
  /** `location`: sums of z; `scale`: sums of what Hawkins makes of z, which grows with the spread. */
  readonly of: "location" | "scale";
  /** A single z farther out than this signals by itself; null for none. */
  readonly shewhart: number | null;
}

/** One of the two sums, with what is needed to say when it left zero. Plain JSON. */
export interface CusumSum {
  readonly value: number;
  /** Where it began to grow: the first point after its last zero; null while it stands at zero. */
  readonly since: number | null;
  /** What it started from there: 0, or the head start. */
  readonly from: number;
  /** Points since then, and the sum of the square roots of their sizes. */
  readonly points: number;
  readonly roots: number;
}

export interface CusumState {
  readonly upper: CusumSum;
  readonly lower: CusumSum;
}

/** One point of a CUSUM, in sigma of the plotted average. */
export interface CusumPoint {
  readonly upper: ChartPoint;
  readonly lower: ChartPoint;
  /** Distance from the centre of the point itself; none where it is missing. */
  readonly z: number | null;
  /** Of the point itself, where a limit for it was asked. */
  readonly single: Verdict;
}

/** What a sum that signals says of the shift. */
export interface CusumShift {
  /** Place of the first point after the change, as the last zero of the sum has it. */
  readonly since: number;
  readonly points: number;
  /** Of the shift, in sigma of the plotted average, with its sign. */
  readonly size: number;
  /** Mean since then, in the unit of the characteristic. */
  readonly mean: number;
}

/**
 * Tabular CUSUM: two sums of how far points lie beyond k on either side, each against a limit h.
 *
 * @shape   the frozen scheme; averages with their subgroups' sizes in time order, or null with the reason
 * @unit    sigma of the plotted average
 * @method  z = (x - centre) sqrt(n) / sigma; C+ = max(0, C+ + z - k), C- = max(0, C- - z - k); a signal where a sum lies
 *          strictly beyond h. A missing point holds both; so does a gap. After a correction both begin anew at the head
 *          start; without one they never do
 * @throws  RangeError for a scheme that cannot be meant or a value that is no number: a defect in the caller
 * @cost    O(1) a point
 * @source  Page 1954, Biometrika 41:100-115; Lucas and Crosier 1982, Technometrics 24:199-205; limit for single points:
 *          Lucas 1982 (all from memory); NIST/SEMATECH e-Handbook 6.3.2.3
 * @checked tests/reference/spc/time-weighted/nist-cusum.test.ts
 */
export function cusumStage(scheme: CusumScheme): Stage<CusumState, Weighed, CusumPoint> {
  checkCusum(scheme);
  const begun = cusumStart(scheme);
  return {
    initial: begun,
    step(before, { subgroup, value, size, corrected }): Step<CusumState, CusumPoint> {
      const from = corrected === true ? begun : before;
      const z = value === null ? null : cusumZ(scheme, value, size);
      const state = z === null ? from : cusumNext(scheme, from, z, size, subgroup);
      const { shewhart, h } = scheme;
      const single = z === null || shewhart === null ? "not-evaluable" : judge(z, -shewhart, shewhart);
      const upper = summed(subgroup, z === null ? null : state.upper.value, h);
      const lower = summed(subgroup, z === null ? null : state.lower.value, h);
      return { state, out: [{ upper, lower, z, single }] };
    },
  };
}

/**
 * Start of a CUSUM.
 *
 * @shape   the scheme
 * @unit    sigma of the plotted average
 * @cost    O(1)
 * @source  Lucas and Crosier 1982, Technometrics 24:199-205 (from memory)
 * @checked tests/unit/spc/time-weighted/cusum.test.ts
 */
export function cusumStart({ headStart }: CusumScheme): CusumState {
  const sum: CusumSum = { value: headStart, since: null, from: headStart, points: 0, roots: 0 };
  return { upper: sum, lower: sum };
}

/**
 * Next sums: what a point makes of the state.
 *
 * @shape   the scheme, the state before, the point's z, its subgroup's size and place
 * @unit    sigma of the plotted average
 * @cost    O(1)
 * @source  Page 1954, Biometrika 41:100-115 (from memory)
 * @checked tests/property/spc/time-weighted/cusum.test.ts
 */
export function cusumNext(scheme: CusumScheme, before: CusumState, z: number, size: number, place: number): CusumState {
  const y = scheme.of === "scale" ? scaleScore(z) : z;
  return {
    upper: added(before.upper, y - scheme.k, size, place),
    lower: added(before.lower, -y - scheme.k, size, place),
  };
}

/**
 * Standardised point: how far an average lies from the centre.
 *
 * @shape   the scheme, a finite average, its subgroup's size
 * @unit    sigma of the plotted average; null where the distance leaves the range of numbers
 * @throws  RangeError for a value that is no number or a subgroup without a value: a defect in the caller
 * @cost    O(1)
 * @source  textbook definition, no source
 * @checked tests/property/spc/time-weighted/cusum.test.ts
 */
export function cusumZ({ centre, sigma }: CusumScheme, value: number, size: number): number | null {
  if (!Number.isFinite(value)) throw new RangeError(`a value is a finite number, got ${value}`);
  if (!(size >= 1)) throw new RangeError(`a subgroup with a value has a size of one or more, got ${size}`);
  const z = ((value - centre) / sigma) * Math.sqrt(size);
  return Number.isFinite(z) ? z : null;
}

/** Mean and standard deviation of the square root of |z|, z a standard normal: 2^(1/4) Gamma(3/4) / sqrt(pi), sqrt(2 / pi) less its square. */
const ROOT_MEAN = 0.8221789586623885;
const ROOT_SD = Math.sqrt(Math.sqrt(2 / Math.PI) - ROOT_MEAN ** 2);

/**
 * Scale score: what a standardised point says of the spread; near normal with mean 0 and sigma 1 in control.
 *
 * @shape   z, finite
 * @unit    dimensionless
 * @method  (sqrt|z| - 0.822179) / 0.349151, the exact moments of what the source rounds to 0.822 and 0.349
 * @cost    O(1)
 * @source  Hawkins 1981, Journal of Quality Technology 13:228-231 (from memory)
 * @checked tests/unit/spc/time-weighted/cusum.test.ts
 */
export function scaleScore(z: number): number {
  return (Math.sqrt(Math.abs(z)) - ROOT_MEAN) / ROOT_SD;
}

/**
 * Shift behind a sum: since when, and how large, if something changed at once and stayed so.
 *
 * @shape   the scheme, which side, the state after the point of interest
 * @unit    since: a place; size in sigma of the plotted average; mean in the unit of the characteristic
 * @method  the change lies after the last zero; N points and a sum C since then from C0 give the size k + (C - C0) / N.
 *          Null while the sum stands at zero, and for sums of scale, which say nothing of the mean
 * @cost    O(1)
 * @source  Page 1954, Biometrika 41:100-115 (from memory); unequal sizes, weighted by their roots, and the head start
 *          taken off again: derived here
 * @checked tests/reference/spc/time-weighted/nist-cusum.test.ts
 */
export function cusumShift(scheme: CusumScheme, side: "upper" | "lower", state: CusumState): CusumShift | null {
  const { value, since, from, points, roots } = state[side];
  if (since === null || points === 0 || scheme.of === "scale") return null;
  const sign = side === "upper" ? 1 : -1;
  const total = value - from + scheme.k * points;
  return {
    since,
    points,
    size: (sign * total) / points,
    mean: scheme.centre + sign * (total / roots) * scheme.sigma,
  };
}

/**
 * Check of a scheme: whether a CUSUM can be meant so.
 *
 * @shape   the scheme
 * @unit    k, h and head start in sigma of the plotted average
 * @throws  RangeError for a part that is out of range: a defect in the caller
 * @cost    O(1)
 * @source  derived here
 * @checked tests/unit/spc/time-weighted/cusum.test.ts
 */
export function checkCusum({ centre, sigma, k, h, headStart, shewhart }: CusumScheme): void {
  if (!Number.isFinite(centre)) throw new RangeError(`a centre is a number, got ${centre}`);
  if (!(sigma > 0 && Number.isFinite(sigma))) throw new RangeError(`a sigma lies above zero, got ${sigma}`);
  if (!(k >= 0 && Number.isFinite(k))) throw new RangeError(`a reference value lies at or above zero, got ${k}`);
  if (!(h > 0 && Number.isFinite(h))) throw new RangeError(`a decision interval lies above zero, got ${h}`);
  if (!(headStart >= 0 && headStart < h)) throw new RangeError(`a head start lies from 0 to below h, got ${headStart}`);
  if (shewhart !== null && !(shewhart > 0)) throw new RangeError(`a limit for points lies above zero, got ${shewhart}`);
}

function added(before: CusumSum, step: number, size: number, place: number): CusumSum {
  // Kept finite, because what is not finite cannot be written as JSON.
  const value = Math.min(Number.MAX_VALUE, Math.max(0, before.value + step));
  if (value === 0) return atZero;
  return {
    value,
    since: before.since ?? place,
    from: before.from,
    points: before.points + 1,
    roots: before.roots + Math.sqrt(size),
  };
}

const atZero: CusumSum = { value: 0, since: null, from: 0, points: 0, roots: 0 };

function summed(subgroup: number, value: number | null, h: number): ChartPoint {
  const verdict = value === null ? "not-evaluable" : judge(value, 0, h);
  return { subgroup, value, centre: 0, lower: null, upper: h, verdict };
}
