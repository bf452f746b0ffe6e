import { scaleScore } from "./cusum-scale.ts";

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
