import { normalCdf } from "../library/normal.ts";

/**
 * Run length of a Shewhart chart: how many averages or single values pass until one lies beyond a limit.
 *
 * @shape   half-width in sigma of the plotted average; the process's shift in sigma of single values; values in a subgroup
 * @unit    dimensionless, points
 * @method  1 / (F(-width - shift sqrt(n)) + F(-width + shift sqrt(n))), F of the normal: each point signals with the
 *          same chance. Independent normal values, known centre and sigma
 * @throws  RangeError for a width or subgroup size not above zero, or a shift that is no number: a defect in the caller
 * @cost    O(1)
 * @source  NIST/SEMATECH e-Handbook 6.3.2.3.1 (from memory)
 * @checked tests/reference/spc/price-continuous/run-lengths.test.ts
 */
export function shewhartRunLength(width: number, shift: number = 0, n: number = 1): number {
  return 1 / shewhartSignalChance(width, shift, n);
}

/**
 * Power of a Shewhart chart: the chance that the next point lies beyond a limit.
 *
 * @shape   half-width in sigma of the plotted average; the process's shift in sigma of single values; values in a subgroup
 * @unit    dimensionless, 0 to 1
 * @method  F(-width - shift sqrt(n)) + F(-width + shift sqrt(n)), F of the normal
 * @throws  RangeError for a width or subgroup size not above zero, or a shift that is no number: a defect in the caller
 * @cost    O(1)
 * @source  NIST/SEMATECH e-Handbook 6.3.2.3.1 (from memory)
 * @checked tests/reference/spc/price-continuous/run-lengths.test.ts
 */
export function shewhartSignalChance(width: number, shift: number = 0, n: number = 1): number {
  if (!(width > 0 && width < 35)) throw new RangeError(`a width must lie above 0 and below 35, got ${width}`);
  if (!(n >= 1)) throw new RangeError(`a subgroup has one or more values, got ${n}`);
  if (!Number.isFinite(shift)) throw new RangeError(`a shift must be a number, got ${shift}`);
  const moved = shift * Math.sqrt(n);
  return normalCdf(-width - moved) + normalCdf(-width + moved);
}
