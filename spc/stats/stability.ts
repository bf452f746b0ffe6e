import { fCdf, fQuantile } from "../library/fisher-f.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";

/** Stability ratio, and lag 1 of the averages, beyond which members of a subgroup repeat one state of the process. */
const MOST_RATIO = 2;
const MOST_LAG = 0.3;

/**
 * Overall to within: how much of the spread lies between points. One when the process is stable.
 *
 * @shape   both sigmas above zero, in the same unit
 * @unit    dimensionless
 * @method  (sigma overall / sigma within) squared; also called the stability ratio, s2 total / s2 within
 * @refuses zero-variation when sigma within is zero; not-finite when the ratio leaves the range of numbers
 * @throws  RangeError for a sigma below zero or not finite: a defect in the caller
 * @cost    O(1)
 * @source  Ramirez and Runger 2006, Quality Engineering 18:53-68 (from memory)
 * @checked tests/unit/spc/stats/stability.test.ts
 */
export function overallToWithin(sigmaOverall: number, sigmaWithin: number): Outcome<number> {
  for (const sigma of [sigmaOverall, sigmaWithin]) {
    if (!(sigma >= 0 && Number.isFinite(sigma))) throw new RangeError(`a sigma of ${sigma} is none`);
  }
  if (sigmaWithin === 0) return refuse("zero-variation", "nothing varies from point to point");
  const ratio = (sigmaOverall / sigmaWithin) ** 2;
  if (!Number.isFinite(ratio)) return refuse("not-finite", "the ratio of the sigmas leaves the range of numbers");
  return ok(ratio);
}

/** How sure it is that a process is not stable. */
export interface StabilityIndex {
  /** s2 total / s2 within. */
  readonly f: number;
  /** What f exceeds once in twenty by chance. */
  readonly critical: number;
  /** Chance of an f as large in a stable process. */
  readonly p: number;
}

/**
 * Stability index: the stability ratio against what chance gives.
 *
 * @shape   both sigmas with their degrees of freedom, not necessarily whole
 * @unit    dimensionless; p a probability
 * @method  F = (sigma overall / sigma within)^2 against the 95 % point of F with both degrees of freedom. The two
 *          sigmas share data, so that F is narrower than its table and the test errs on the side of stable
 * @refuses as `overallToWithin`
 * @throws  RangeError for degrees of freedom of zero or less, or a sigma that is none: a defect in the caller
 * @cost    O(1)
 * @source  Ramirez and Runger 2006, Quality Engineering 18:53-68 (from memory); remark on shared data derived here
 * @checked tests/unit/spc/stats/stability.test.ts
 */
export function stabilityIndex(
  overall: { readonly sigma: number; readonly df: number },
  within: { readonly sigma: number; readonly df: number },
): Outcome<StabilityIndex> {
  const ratio = overallToWithin(overall.sigma, within.sigma);
  if (!ratio.ok) return ratio;
  const f = ratio.value;
  // The lower tail of 1/F with the degrees of freedom exchanged is the upper tail of F, without cancellation.
  const p = f === 0 ? 1 : fCdf(1 / f, within.df, overall.df);
  return ok({ f, critical: fQuantile(0.95, overall.df, within.df), p });
}

/**
 * Readings of one state: whether the members of a subgroup repeat one state of the process, so that limits of averages
 * would hold the noise of the sensor only. Then the averages are charted as single values.
 *
 * @shape   the stability ratio of single values, and lag 1 of the averages of subgroups
 * @unit    dimensionless
 * @method  ratio above 2 and lag 1 above 0.3
 * @cost    O(1)
 * @source  NIST/SEMATECH e-Handbook 6.6.1 shows the failure (from memory); both bounds: common practice, no source
 * @checked tests/unit/spc/stats/stability.test.ts
 */
export function readingsOfOneState(ratio: number, lag1: number): boolean {
  return ratio > MOST_RATIO && lag1 > MOST_LAG;
}
