/** How many points a chart lets pass until it signals. */
export interface RunLength {
  readonly average: number;
  readonly deviation: number;
}

/**
 * Run length from its moments: average and standard deviation.
 *
 * @shape   mean of the run length, and mean of its square
 * @unit    dimensionless, points
 * @source  textbook identity, no source
 * @checked tests/property/spc/price-continuous/simulated.test.ts
 */
export function fromMoments(average: number, square: number): RunLength {
  return { average, deviation: Math.sqrt(Math.max(0, square - average * average)) };
}
