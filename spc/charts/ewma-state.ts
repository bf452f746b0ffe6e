import type { Dependence } from "./ewma-width.ts";
import { ewmaFactor, ewmaVariance } from "./ewma-width.ts";

/** What Phase 1 freezes for an EWMA; nothing of it moves with the data. */
export interface EwmaScheme {
  readonly centre: number;
  /** Of single values, above zero: an average of n varies by sigma / sqrt(n). */
  readonly sigma: number;
  /** Sigma is that of the plotted averages themselves, whatever their sizes. */
  readonly alike: boolean;
  readonly lambda: number;
  /** Half-width of the limits in sigma of the EWMA. */
  readonly width: number;
  /** Limits where they settle, from the first point on, in place of exact ones. */
  readonly asymptotic: boolean;
  /** Fast initial response: share of the half-width at the first point; null for none. */
  readonly headStart: number | null;
  readonly dependence: Dependence;
}

/** Plain JSON. Variances in sigma squared, so that no unit is too small or too large. */
export interface EwmaState {
  /** Points since the start or the last correction. */
  readonly t: number;
  /** EWMA less centre. */
  readonly off: number;
  readonly variance: number;
  /** Covariance of the EWMA with the dependent part of the last point; fades while points are missing. */
  readonly covariance: number;
}

export const ewmaStart: EwmaState = { t: 0, off: 0, variance: 0, covariance: 0 };

/**
 * Next EWMA: what a point makes of the state.
 *
 * @shape   the scheme, the state before, a finite average and its subgroup's size
 * @unit    that of the characteristic; variance and covariance in sigma squared
 * @method  as `ewmaStage`; with a dependent share s of coefficient phi: g = lambda s / n + (1 - lambda) phi g is the
 *          covariance of Z with it, and v gains 2 lambda (1 - lambda) phi g, which settles at Schmid's formula. A value
 *          so far away that arithmetic overflows is held like a missing one
 * @throws  RangeError for a value that is no number or a subgroup without a value: a defect in the caller
 * @cost    O(1)
 * @source  Roberts 1959, Technometrics 1:239-250 (from memory); dependent share derived here
 * @checked tests/property/spc/time-weighted/ewma.test.ts
 */
export function ewmaNext(scheme: EwmaScheme, before: EwmaState, value: number, size: number): EwmaState {
  if (!Number.isFinite(value)) throw new RangeError(`a value is a finite number, got ${value}`);
  if (!(size >= 1)) throw new RangeError(`a subgroup with a value has a size of one or more, got ${size}`);
  const { lambda, centre, dependence } = scheme;
  const weight = scheme.alike ? 1 : size;
  const kept = 1 - lambda;
  const off = lambda * (value - centre) + kept * before.off;
  if (!Number.isFinite(off)) return ewmaHeld(scheme, before);
  const carried = kept * dependence.phi * before.covariance;
  return {
    t: before.t + 1,
    off,
    variance: kept * kept * before.variance + (lambda * lambda) / weight + 2 * lambda * carried,
    covariance: (lambda * dependence.share) / weight + carried,
  };
}

/**
 * Held EWMA: what a place without a value makes of the state.
 *
 * @shape   the scheme and the state before
 * @unit    that of the characteristic
 * @method  all stands still, but the memory that the next point has of the last one fades by phi
 * @cost    O(1)
 * @source  holding: common practice, no source; fading derived here
 * @checked tests/property/spc/time-weighted/ewma.test.ts
 */
export function ewmaHeld({ dependence }: EwmaScheme, before: EwmaState): EwmaState {
  return before.covariance === 0 ? before : { ...before, covariance: before.covariance * dependence.phi };
}

/**
 * Half-width of an EWMA's limits at a point.
 *
 * @shape   the scheme, the state after the point, the size of its subgroup
 * @unit    that of the characteristic
 * @method  width sigma sqrt(v), or where it settles for subgroups of this size; times the head start's share
 * @cost    O(1)
 * @source  Lucas and Saccucci 1990, Technometrics 32:1-12; Steiner 1999, Journal of Quality Technology 31:75-86 (both
 *          from memory)
 * @checked tests/reference/spc/time-weighted/nist-ewma.test.ts
 */
export function ewmaHalf(scheme: EwmaScheme, state: EwmaState, size: number): number {
  return scheme.width * ewmaDeviation(scheme, state, size) * ewmaFactor(scheme.headStart, state.t);
}

/**
 * Standard deviation of an EWMA at a point.
 *
 * @shape   the scheme, the state after the point, the size of its subgroup
 * @unit    that of the characteristic
 * @cost    O(1)
 * @source  as `ewmaHalf`
 * @checked tests/reference/spc/time-weighted/nist-ewma.test.ts
 */
export function ewmaDeviation(scheme: EwmaScheme, state: EwmaState, size: number): number {
  const { asymptotic, alike, lambda, dependence } = scheme;
  const settled = ewmaVariance(lambda, dependence) / (alike ? 1 : size);
  return scheme.sigma * Math.sqrt(asymptotic ? settled : state.variance);
}

/**
 * Check of a scheme: whether an EWMA can be meant so.
 *
 * @shape   the scheme
 * @unit    that of the characteristic
 * @throws  RangeError for a part that is out of range: a defect in the caller
 * @cost    O(1)
 * @source  derived here
 * @checked tests/unit/spc/time-weighted/ewma.test.ts
 */
export function checkEwma({ centre, sigma, lambda, width, headStart, dependence }: EwmaScheme): void {
  if (!Number.isFinite(centre)) throw new RangeError(`a centre is a number, got ${centre}`);
  if (!(sigma > 0 && Number.isFinite(sigma))) throw new RangeError(`a sigma lies above zero, got ${sigma}`);
  if (!(lambda > 0 && lambda <= 1)) throw new RangeError(`lambda must lie above 0 and at most 1, got ${lambda}`);
  if (!(width > 0 && Number.isFinite(width))) throw new RangeError(`a width lies above zero, got ${width}`);
  if (headStart !== null && !(headStart > 0 && headStart < 1))
    throw new RangeError(`a head start must lie above 0 and below 1, got ${headStart}`);
  const { share, phi } = dependence;
  if (!(share >= 0 && share <= 1 && Math.abs(phi) < 1))
    throw new RangeError(`a dependent share lies from 0 to 1 and its phi between -1 and 1, got ${share}, ${phi}`);
}
