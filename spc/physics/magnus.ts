/**
 * Magnus formula over water: saturation vapour pressure, whatever the temperature.
 *
 * @shape   tCel: above -243.12 Cel; who wants a number to rely on asks `saturationPressure`, which knows the range
 * @unit    hPa
 * @method  6.112 exp(17.62 t / (243.12 + t))
 * @cost    O(1)
 * @source  WMO-No. 8, Guide to Instruments and Methods of Observation, Annex 4.B
 * @checked tests/reference/spc/physics/humidity.test.ts
 */
export function magnusOverWater(tCel: number): number {
  return 6.112 * Math.exp(magnusExponent(tCel));
}

/**
 * Exponent of the Magnus formula over water, from which the dew point is solved.
 *
 * @shape   tCel: above -243.12 Cel
 * @unit    dimensionless
 * @method  17.62 t / (243.12 + t)
 * @cost    O(1)
 * @source  WMO-No. 8, Annex 4.B
 * @checked tests/reference/spc/physics/humidity.test.ts
 */
export function magnusExponent(tCel: number): number {
  return (17.62 * tCel) / (243.12 + tCel);
}
