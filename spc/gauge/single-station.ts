import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";

/** How customers want a single-station study counted; they differ, so it is declared. */
export interface SingleStationRule {
  /** Share of the tolerance that the instrument may fill: 0.2 is usual. */
  readonly share: number;
  /** Standard deviations that must fit into it: 6, with some 4. */
  readonly spreads: number;
}

const USUAL: SingleStationRule = { share: 0.2, spreads: 6 };

/**
 * Single-station study (type 1): whether one instrument, reading one reference again and again, fits the tolerance.
 *
 * @shape   the standard deviation of the readings above zero, their bias, the width upper - lower above zero
 * @unit    dimensionless; 1.33 or more is asked for as a rule
 * @method  Cg = share width / (spreads s), Cgk = (share width / 2 - |bias|) / (spreads s / 2); Cgk may be below zero
 * @refuses zero-variation when the readings never differ: the instrument's last digit is then the limit
 * @throws  RangeError for numbers that are none: a defect in the caller
 * @source  practice in the automotive trade, ISO 22514-7 family (from memory)
 * @checked tests/unit/spc/gauge/gauge.test.ts
 */
export function singleStation(
  s: number,
  bias: number,
  width: number,
  rule: SingleStationRule = USUAL,
): Outcome<{ readonly cg: number; readonly cgk: number }> {
  const { share, spreads } = rule;
  const sound = s >= 0 && s < Infinity && Number.isFinite(bias) && width > 0 && width < Infinity;
  if (!(sound && share > 0 && share <= 1 && spreads > 0)) {
    throw new RangeError(`Cg needs s >= 0, a bias and a width, got ${s}, ${bias}, ${width}, ${share}, ${spreads}`);
  }
  const cg = (share * width) / (spreads * s);
  const cgk = (share * width - 2 * Math.abs(bias)) / (spreads * s);
  if (!Number.isFinite(cg) || !Number.isFinite(cgk)) {
    return refuse("zero-variation", "the readings never differ: the instrument's last digit is the limit");
  }
  return ok({ cg, cgk });
}
