import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";

/** Standard deviations of a gauge study by their source. */
export interface GaugeSpreads {
  readonly equipment: number;
  /** Appraisers and their interaction with the parts. */
  readonly appraiser: number;
  readonly gauge: number;
  readonly part: number;
  readonly total: number;
}

/**
 * Spreads of a gauge study: the instrument's whole spread beside that of the parts.
 *
 * @shape   variances of zero or more: equipment, appraiser with interaction, part
 * @unit    that of the readings
 * @method  gauge^2 = equipment + appraiser, total^2 = gauge^2 + part
 * @throws  RangeError for a variance that is none: a defect in the caller
 * @source  AIAG Measurement Systems Analysis, 4th ed. 2010, ch. III-B (from memory)
 * @checked tests/reference/spc/gauge/crossed.test.ts
 */
export function gaugeSpreads(equipment: number, appraiser: number, part: number): GaugeSpreads {
  for (const variance of [equipment, appraiser, part]) {
    if (!(variance >= 0 && variance < Infinity)) throw new RangeError(`a variance is zero or more, got ${variance}`);
  }
  return {
    equipment: Math.sqrt(equipment),
    appraiser: Math.sqrt(appraiser),
    gauge: Math.sqrt(equipment + appraiser),
    part: Math.sqrt(part),
    total: Math.sqrt(equipment + appraiser + part),
  };
}

/**
 * Share of the study: how much of the whole spread a source has. Shares of the sources do not add up; their squares do.
 *
 * @shape   a spread of zero or more, the total spread
 * @unit    %
 * @method  100 spread / total. The instrument: under 10 is usual, over 30 hides the process
 * @refuses zero-variation when nothing varies
 * @source  AIAG Measurement Systems Analysis, 4th ed. 2010 (from memory)
 * @checked tests/reference/spc/gauge/crossed.test.ts
 */
export function percentStudy(spread: number, total: number): Outcome<number> {
  return total > 0 ? ok((100 * spread) / total) : refuse("zero-variation", "nothing varies in this study");
}

/**
 * Contribution: how much of the whole variance a source has. Contributions of the sources add up to 100.
 *
 * @shape   a spread of zero or more, the total spread
 * @unit    %
 * @method  100 (spread / total)^2
 * @refuses zero-variation when nothing varies
 * @source  AIAG Measurement Systems Analysis, 4th ed. 2010 (from memory)
 * @checked tests/reference/spc/gauge/crossed.test.ts
 */
export function percentContribution(spread: number, total: number): Outcome<number> {
  return total > 0 ? ok(100 * (spread / total) ** 2) : refuse("zero-variation", "nothing varies in this study");
}

/**
 * Share of the tolerance: how much of the specification's width six of these spreads fill.
 *
 * @shape   a spread of zero or more, the width upper - lower above zero
 * @unit    %
 * @method  100 * 6 spread / width
 * @throws  RangeError for a width that is none: a defect in the caller
 * @source  AIAG Measurement Systems Analysis, 4th ed. 2010 (from memory)
 * @checked tests/unit/spc/gauge/gauge.test.ts
 */
export function percentTolerance(spread: number, width: number): number {
  if (!(width > 0 && width < Infinity)) throw new RangeError(`a tolerance has a width above zero, got ${width}`);
  return (600 * spread) / width;
}

/**
 * Distinct categories: how many groups of parts the instrument tells apart; 5 or more are asked for.
 *
 * @shape   spread of the parts and of the instrument; the factor sqrt(2), printed as 1.41
 * @unit    dimensionless; `raw` with its decimals, `count` cut down to a whole number
 * @method  factor * part / gauge
 * @refuses zero-variation when the instrument's readings never differ: then its last digit is the limit
 * @source  AIAG Measurement Systems Analysis, 4th ed. 2010 (from memory)
 * @checked tests/reference/spc/gauge/crossed.test.ts
 */
export function distinctCategories(
  part: number,
  gauge: number,
  factor: number = Math.SQRT2,
): Outcome<{ readonly raw: number; readonly count: number }> {
  const raw = (factor * part) / gauge;
  if (!Number.isFinite(raw))
    return refuse("zero-variation", "repeated readings never differ: the last digit is the limit");
  return ok({ raw, count: Math.floor(raw) });
}
