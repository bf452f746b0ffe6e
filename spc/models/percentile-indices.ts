import type { Limits } from "../capability/sides.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import type { DistributionModel } from "./model.ts";
import { LOWER_TAIL, UPPER_TAIL } from "./model.ts";

/** Performance by percentiles, each side on its own. */
export interface PercentileIndices {
  readonly pp: Outcome<number>;
  readonly ppu: Outcome<number>;
  readonly ppl: Outcome<number>;
  readonly ppk: Outcome<number>;
}

/**
 * Performance of values that are not normal: the specification over the span that holds all but 0.27 % of a fitted model.
 *
 * @shape   a fitted model, a specification
 * @unit    dimensionless
 * @method  with x the quantiles at 0.00135, 0.5 and 0.99865: Pp = (upper - lower) / (x3 - x1),
 *          Ppu = (upper - x2) / (x3 - x2), Ppl = (x2 - lower) / (x2 - x1), Ppk the smaller of the two there are
 * @refuses one-sided-specification: Pp, and the side without a limit; no-specification: all;
 *          not-a-number where an index leaves the range of numbers
 * @source  ISO 22514-2, ISO 21747 (both from memory)
 * @checked tests/reference/spc/capability/interval.test.ts
 */
export function percentileIndices(model: DistributionModel, { lower, upper }: Limits): PercentileIndices {
  const low = model.quantile(LOWER_TAIL);
  const middle = model.quantile(0.5);
  const high = model.quantile(UPPER_TAIL);
  const sided = refuse("one-sided-specification", "the specification has one side only");
  const ppu = upper === undefined ? sided : finite((upper - middle) / (high - middle));
  const ppl = lower === undefined ? sided : finite((middle - lower) / (middle - low));
  if (lower === undefined && upper === undefined) {
    const none = refuse("no-specification", "no specification is set");
    return { pp: none, ppu: none, ppl: none, ppk: none };
  }
  const pp = lower === undefined || upper === undefined ? sided : finite((upper - lower) / (high - low));
  return { pp, ppu, ppl, ppk: smaller(ppu, ppl, lower === undefined, upper === undefined) };
}

function smaller(ppu: Outcome<number>, ppl: Outcome<number>, noLower: boolean, noUpper: boolean): Outcome<number> {
  if (noLower) return ppu;
  if (noUpper) return ppl;
  if (!ppu.ok) return ppu;
  return ppl.ok ? ok(Math.min(ppu.value, ppl.value)) : ppl;
}

function finite(index: number): Outcome<number> {
  return Number.isFinite(index) ? ok(index) : refuse("not-a-number", "the index is too large to be written");
}
