import type { Caution } from "../model/drawn-chart.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";

/** Fewer values than this fit any curve; common practice, no source. */
const LEAST_FOR_MODEL = 25;
/** A spread, over the largest magnitude, that is the rounding of arithmetic and none of the process. */
export const LAST_DIGITS = 1e-12;

/** What stands beside whatever is read from a fitted curve. */
export const FITTED_MODEL: Caution = {
  code: "fitted-model",
  text: "the curve describes one process: where two are mixed, find what parts them before any curve or power is fitted",
};

/**
 * Values fit to be fitted: enough of them, varying, and above zero where the model asks for it.
 *
 * @shape   finite values in any order; `least` the smallest that the model can hold
 * @unit    that of the values, divided by `scale`, their largest magnitude, so that no sum of powers overflows
 * @method  checks only
 * @refuses too-few (under 25); zero-variation; not-positive for a value below, or at, what the model can hold
 * @throws  RangeError for a value that is no number: a defect in the caller
 * @cost    O(n)
 * @source  the least count is common practice, no source
 * @checked tests/unit/spc/models/fits.test.ts
 */
export function valuesToFit(
  values: readonly number[],
  holds: "any" | "zero-and-above" | "above-zero",
): Outcome<{ readonly scaled: readonly number[]; readonly scale: number }> {
  const n = values.length;
  let scale = 0;
  let smallest = Infinity;
  let largest = -Infinity;
  for (const value of values) {
    if (!Number.isFinite(value)) throw new RangeError(`a model is fitted to numbers, got ${value}`);
    scale = Math.max(scale, Math.abs(value));
    smallest = Math.min(smallest, value);
    largest = Math.max(largest, value);
  }
  if (n < LEAST_FOR_MODEL) {
    return refuse("too-few", `${n} values: a model needs ${LEAST_FOR_MODEL} or more`, {
      needs: LEAST_FOR_MODEL,
      has: n,
    });
  }
  if ((holds === "above-zero" && !(smallest > 0)) || (holds === "zero-and-above" && !(smallest >= 0))) {
    const bound = holds === "above-zero" ? "above zero" : "of zero or more";
    return refuse("not-positive", `the model holds values ${bound} only, and the smallest is ${smallest}`);
  }
  if (!(largest / scale - smallest / scale > LAST_DIGITS)) {
    return refuse("zero-variation", "all values are equal, or differ in their last digits only");
  }
  return ok({ scaled: values.map((value) => value / scale), scale });
}
