import { type Outcome, ok, refuse } from "../model/outcome.ts";
import { notPositive } from "./range.ts";

/**
 * Share of a specification's tolerance that the instrument eats: half of +-12 K is gone to a thermometer of +-5.6 K
 * before the process has varied at all.
 *
 * @shape   instrument: half-width of its error, 0 or above; lower, upper: the specification's limits in the same unit
 * @unit    dimensionless; 1 or above: the instrument alone may say out where all is in
 * @method  instrument / ((upper - lower) / 2)
 * @refuses `not-positive` where the limits leave nothing; `not-finite` for what is no number
 * @throws  RangeError for an instrument's error below 0 or no number
 * @cost    O(1)
 * @source  definition, derived here
 * @checked tests/reference/spc/physics/thermocouple.test.ts
 */
export function toleranceShare(instrument: number, lower: number, upper: number): Outcome<number> {
  if (!(instrument >= 0 && instrument < Number.POSITIVE_INFINITY)) {
    throw new RangeError(`an instrument's error is 0 or above, got ${instrument}`);
  }
  if (!Number.isFinite(lower) || !Number.isFinite(upper)) {
    return refuse("not-finite", `a specification's limits must be numbers, got ${lower} and ${upper}`);
  }
  // Halved before they are taken from each other, so that no pair of limits overflows.
  const half = upper / 2 - lower / 2;
  const share = instrument / half;
  return (
    notPositive("half of a specification's width", half) ??
    (Number.isFinite(share)
      ? ok(share)
      : refuse("not-finite", `${instrument} over ${half} leaves the range of numbers`))
  );
}
