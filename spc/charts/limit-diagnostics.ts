import type { Limits } from "../model/chart.ts";
import type { LimitDiagnostics } from "../model/limit-set.ts";
import { judge } from "../model/point.ts";
import { autocorrelation, autocorrelationBand } from "../stats/autocorrelation.ts";
import { distinctValues } from "../stats/distinct.ts";
import { moments } from "../stats/moments.ts";
import { findStep } from "../stats/step.ts";
import {
  LEAST_DISTINCT,
  LEAST_FOR_EXCESS,
  MOST_OVERALL_TO_WITHIN,
  MOST_SKEWNESS,
  NORMAL_EXCESS,
  SETTLED_VALUES,
} from "../stats/thresholds.ts";
import type { BaselineValues } from "./baseline-values.ts";
import { LEAST_VALUES } from "./baseline-values.ts";

/** Each is a code that the screens explain in words. */
export type LimitCaution =
  | "few-values"
  | "autocorrelated"
  | "step-in-baseline"
  | "overall-basis-recommended"
  | "skewed"
  | "tails-unlike-normal"
  | "few-distinct-values"
  | "overall-to-within"
  | "signals-in-baseline";

/**
 * Limit diagnostics: what speaks for and against limits from this baseline.
 *
 * @shape   the baseline's values and both charts' own limits from them; the limits proposed, where those are others
 * @unit    sigmas that of the characteristic, the rest dimensionless
 * @method  few-values under 100; autocorrelated when lag 1 lies outside its 95 % band, and then overall-basis-recommended
 *          when no step is found (`findStep`); step-in-baseline; skewed beyond 1; tails-unlike-normal when the excess
 *          kurtosis of 200 values or more lies outside -0.7 to 1.2; few-distinct-values under 5 distinct
 *          moving ranges inside their limits; overall-to-within above 1.2; signals-in-baseline when more values lie
 *          beyond the limits proposed than chance gives in 99 of 100 baselines
 * @cost    O(n log n)
 * @source  NIST/SEMATECH e-Handbook 6.3.2.2 and 1.3.3.1; AIAG MSA 4th ed. (from memory); ratios: common practice, no source
 * @checked tests/unit/spc/charts/limit-diagnostics.test.ts
 */
export function limitDiagnostics(
  baseline: BaselineValues,
  location: Limits,
  spread: Limits,
  proposed: Limits = location,
): LimitDiagnostics {
  const { values, places, movingRanges } = baseline;
  const inside = movingRanges.filter((range) => judge(range, spread.lower, spread.upper) === "within");
  const beyond = values.filter((value) => judge(value, proposed.lower, proposed.upper) !== "within").length;
  const coarse = distinctValues(inside) < LEAST_DISTINCT;
  return diagnosed({ values, places, sigmaWithin: location.sigma, beyond, coarse, alsoSeen: [] });
}

/** What a baseline of single runs, or of subgroups, shows of itself. */
export interface BaselineFacts {
  /** Single values. */
  readonly values: readonly number[];
  /** Values or averages that limits are about, in time order: null for one that is missing, and for a gap. */
  readonly places: readonly (number | null)[];
  readonly sigmaWithin: number;
  /** How many of the places lie beyond their limits. */
  readonly beyond: number;
  /** Whether the instrument rounds too coarsely. */
  readonly coarse: boolean;
  /** Codes that the estimate itself gave. */
  readonly alsoSeen: readonly string[];
}

/**
 * Diagnosed baseline: the numbers and cautions of `limitDiagnostics`, for points of any size.
 *
 * @shape   single values, the points that limits are about, and what was seen of them
 * @unit    sigmas that of the characteristic, the rest dimensionless
 * @method  as `limitDiagnostics`; lag 1, step and signals are of the points, everything else of the single values
 * @cost    O(n log n)
 * @source  as `limitDiagnostics`
 * @checked tests/unit/spc/charts/propose-grouped.test.ts
 */
export function diagnosed({ values, places, sigmaWithin, beyond, coarse, alsoSeen }: BaselineFacts): LimitDiagnostics {
  const { sd, skewness, excess } = moments(values);
  const there = places.filter((value) => value !== null);
  const lag1 = autocorrelation(places, 1);
  const band = autocorrelationBand(there.length);
  const autocorrelated = lag1 < band[0] || lag1 > band[1];
  const step = findStep(there);
  const found: Readonly<Record<LimitCaution, boolean>> = {
    "few-values": values.length >= LEAST_VALUES && values.length < SETTLED_VALUES,
    autocorrelated,
    "step-in-baseline": step !== null,
    "overall-basis-recommended": autocorrelated && lag1 > 0 && step === null,
    skewed: Math.abs(skewness) > MOST_SKEWNESS,
    "tails-unlike-normal":
      values.length >= LEAST_FOR_EXCESS && (excess < NORMAL_EXCESS[0] || excess > NORMAL_EXCESS[1]),
    "few-distinct-values": coarse,
    "overall-to-within": sd > MOST_OVERALL_TO_WITHIN * sigmaWithin,
    "signals-in-baseline": beyond > mostByChance(there.length),
  };
  return {
    sigmaWithin,
    sigmaOverall: sd,
    lag1,
    lag1Band: band,
    distinctValues: distinctValues(values),
    cautions: [...Object.entries(found).flatMap(([code, holds]) => (holds ? [code] : [])), ...alsoSeen],
  };
}

/** Share of independent normal values beyond three sigma: 2 (1 - Phi(3)). */
const BEYOND_THREE_SIGMA = 0.0027;

/** The count that a Poisson number of chance values beyond limits keeps within in 99 of 100 baselines. */
function mostByChance(n: number): number {
  const expected = BEYOND_THREE_SIGMA * n;
  let term = Math.exp(-expected);
  let below = term;
  let count = 0;
  // Beyond a mean of some hundreds exp(-mean) nears zero; the loop still ends at mean + 10 sd.
  const most = Math.ceil(expected + 10 * Math.sqrt(expected) + 10);
  while (below < 0.99 && count < most) {
    count += 1;
    term *= expected / count;
    below += term;
  }
  return count;
}
