import type { Caution } from "../model/drawn-chart.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok } from "../model/outcome.ts";
import { madSigma } from "./mad.ts";

/** Distance from the median, in robust sigma, beyond which a value is asked about. */
const ASK_BEYOND = 3.5;

/** Values to ask about. A question is no reason to leave one out. */
export interface Screening {
  readonly centre: number;
  /** 1.4826 MAD, without a factor for small n. */
  readonly sigma: number;
  /** Places to ask about, ascending. */
  readonly questions: readonly number[];
  readonly cautions: readonly Caution[];
}

/**
 * Screening question: which values lie so far out that somebody should say what happened.
 *
 * @shape   two or more finite values
 * @unit    centre and sigma that of the values
 * @method  |x - median| > 3.5 times 1.4826 MAD. Where the MAD is zero, 1.2533 times the mean distance from the median
 *          stands for it, with caution mad-zero
 * @refuses too-few under two; zero-variation
 * @throws  RangeError for values that are not finite: a defect in the caller
 * @cost    O(n log n)
 * @source  Iglewicz and Hoaglin 1993, How to Detect and Handle Outliers (from memory)
 * @checked tests/unit/spc/stats/robust.test.ts
 */
export function screening(values: ArrayLike<number>): Outcome<Screening> {
  const robust = madSigma(values);
  if (!robust.ok) return robust;
  const { median, plainSigma, cautions } = robust.value;
  const questions: number[] = [];
  for (let i = 0; i < values.length; i += 1) {
    if (Math.abs(values[i]! - median) > ASK_BEYOND * plainSigma) questions.push(i);
  }
  return ok({ centre: median, sigma: plainSigma, questions, cautions });
}
