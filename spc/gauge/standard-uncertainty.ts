/**
 * Standard uncertainty of a value known to lie within bounds, and nothing else: a class of accuracy.
 *
 * @shape   the half width a, zero or more
 * @unit    that of the half width
 * @method  a / sqrt(3), the standard deviation of a rectangle
 * @throws  RangeError for a width that is none: a defect in the caller
 * @source  JCGM 100:2008 (GUM), 4.3.7 (from memory)
 * @checked tests/reference/spc/gauge/uncertainty.test.ts
 */
export function rectangular(halfWidth: number): number {
  return checked(halfWidth) / Math.sqrt(3);
}

/**
 * Standard uncertainty of a value within bounds that lies near their middle more often than near their ends.
 *
 * @shape   the half width a, zero or more
 * @unit    that of the half width
 * @method  a / sqrt(6), the standard deviation of a triangle
 * @throws  RangeError for a width that is none: a defect in the caller
 * @source  JCGM 100:2008 (GUM), 4.3.9 (from memory)
 * @checked tests/reference/spc/gauge/uncertainty.test.ts
 */
export function triangular(halfWidth: number): number {
  return checked(halfWidth) / Math.sqrt(6);
}

/**
 * Standard uncertainty of a last digit, or of one step of a converter.
 *
 * @shape   the step q, zero or more
 * @unit    that of the step
 * @method  q / (2 sqrt(3)), a rectangle of half a step to each side
 * @throws  RangeError for a step that is none: a defect in the caller
 * @source  JCGM 100:2008 (GUM), F.2.2.1 (from memory)
 * @checked tests/reference/spc/gauge/uncertainty.test.ts
 */
export function resolution(step: number): number {
  return checked(step) / (2 * Math.sqrt(3));
}

/**
 * Sensitivity of relative humidity to the air temperature: what a probe reads too low for each kelvin it is too warm.
 *
 * @shape   tCel: -45 to 60 Cel; rhPercent: 0 to 100
 * @unit    %/K
 * @method  U 17.62 * 243.12 / (243.12 + t)^2, the slope of the Magnus formula over its value
 * @throws  RangeError outside these ranges: a defect in the caller
 * @source  WMO-No. 8, Annex 4.B, differentiated here
 * @checked tests/unit/spc/gauge/gauge.test.ts
 */
export function humidityPerKelvin(tCel: number, rhPercent: number): number {
  if (!(tCel >= -45 && tCel <= 60 && rhPercent >= 0 && rhPercent <= 100)) {
    throw new RangeError(`humidity needs -45 to 60 Cel and 0 to 100 %, got ${tCel}, ${rhPercent}`);
  }
  return (rhPercent * 17.62 * 243.12) / (243.12 + tCel) ** 2;
}

function checked(width: number): number {
  if (!(width >= 0 && width < Infinity)) throw new RangeError(`a width is zero or more, got ${width}`);
  return width;
}
