import { d2 } from "../factors/d2.ts";
import { d3 } from "../factors/d3.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok } from "../model/outcome.ts";
import { mean } from "../stats/moments.ts";
import type { Balanced, Sizes } from "./balanced.ts";
import { balancedSizes } from "./balanced.ts";
import type { VarianceComponent } from "./variance.ts";
import { varianceComponent } from "./variance.ts";

/** Averages and ranges of a crossed study, as they are worked out by hand. */
export interface StudyRanges {
  readonly sizes: Sizes;
  /** Mean range of the trials of one appraiser on one part. */
  readonly rBar: number;
  readonly appraiserMeans: readonly number[];
  /** Range of the appraisers' means. */
  readonly xDiff: number;
  /** Range of the parts' means. */
  readonly rPart: number;
}

/** What turns ranges into standard deviations. */
export interface RangeFactors {
  readonly k1: number;
  readonly k2: number;
  readonly k3: number;
}

/** Variances by the method of averages and ranges; the interaction goes unseen. */
export interface RangeComponents {
  readonly equipment: VarianceComponent;
  readonly appraiser: VarianceComponent;
  readonly part: VarianceComponent;
}

/** With more ranges than this, their mean is taken for exact. */
const MANY_RANGES = 15;

/**
 * Averages and ranges of a crossed study.
 *
 * @shape   readings by part, then appraiser, then trial: two or more of each, balanced
 * @unit    that of the readings
 * @method  plain means and ranges
 * @refuses too-few, unbalanced, zero-variation
 * @throws  RangeError for a reading that is no number: a defect in the caller
 * @cost    O(n)
 * @source  AIAG Measurement Systems Analysis, 4th ed. 2010, ch. III-B (from memory)
 * @checked tests/reference/spc/gauge/crossed.test.ts
 */
export function studyRanges(study: Balanced): Outcome<StudyRanges> {
  const checked = balancedSizes(study);
  if (!checked.ok) return checked;
  const sizes = checked.value;
  const appraiserMeans = Array.from({ length: sizes.inner }, (_, o) => mean(study.flatMap((part) => part[o]!)));
  return ok({
    sizes,
    rBar: mean(study.flatMap((part) => part.map(range))),
    appraiserMeans,
    xDiff: range(appraiserMeans),
    rPart: range(study.map((part) => mean(part.flat()))),
  });
}

/**
 * Factors K1, K2, K3: one over the mean of a range, in sigma.
 *
 * @shape   the sizes of a balanced study
 * @unit    dimensionless
 * @method  1 / d2*(n, g), d2* = sqrt(d2(n)^2 + d3(n)^2 / g), which lets the square of a mean of g ranges come out right.
 *          K1: n trials, g parts times appraisers, d2 itself when g is over 15; K2: n appraisers, g 1; K3: n parts, g 1
 * @source  Duncan 1974, Quality Control and Industrial Statistics, appendix (from memory); AIAG prints four decimals
 * @checked tests/reference/spc/gauge/crossed.test.ts
 */
export function rangeFactors({ outer: parts, inner: appraisers, repeats }: Sizes): RangeFactors {
  const ranges = parts * appraisers;
  return {
    k1: 1 / (ranges > MANY_RANGES ? d2(repeats) : rootMeanSquare(repeats, ranges)),
    k2: 1 / rootMeanSquare(appraisers, 1),
    k3: 1 / rootMeanSquare(parts, 1),
  };
}

/**
 * Variance components by averages and ranges: the method that can be checked by hand.
 *
 * @shape   averages and ranges of a study; the factors, exact or as printed
 * @unit    that of the readings squared
 * @method  equipment (rBar K1)^2, appraiser (xDiff K2)^2 - equipment / (parts trials), part (rPart K3)^2
 * @source  AIAG Measurement Systems Analysis, 4th ed. 2010, ch. III-B (from memory)
 * @checked tests/reference/spc/gauge/crossed.test.ts
 */
export function rangeComponents(
  { sizes, rBar, xDiff, rPart }: Omit<StudyRanges, "appraiserMeans">,
  { k1, k2, k3 }: RangeFactors,
): RangeComponents {
  const equipment = (rBar * k1) ** 2;
  return {
    equipment: varianceComponent(equipment),
    appraiser: varianceComponent((xDiff * k2) ** 2 - equipment / (sizes.outer * sizes.repeats)),
    part: varianceComponent((rPart * k3) ** 2),
  };
}

function rootMeanSquare(n: number, ranges: number): number {
  return Math.sqrt(d2(n) ** 2 + d3(n) ** 2 / ranges);
}

function range(values: readonly number[]): number {
  return Math.max(...values) - Math.min(...values);
}
