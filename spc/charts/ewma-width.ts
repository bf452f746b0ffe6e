/**
 * Settled variance of an EWMA: how much less it varies than what it averages.
 *
 * @shape   lambda above 0, at most 1; how far neighbours depend on each other, nothing for independent points
 * @unit    dimensionless, share of the variance of the plotted averages
 * @method  lambda / (2 - lambda); with a share v of the variance in an AR(1) part of coefficient phi, times
 *          (1 - v) + v (1 + phi (1 - lambda)) / (1 - phi (1 - lambda))
 * @throws  RangeError for lambda out of range: a defect in the caller
 * @source  Roberts 1959, Technometrics 1:239-250; AR(1): Schmid 1997 (both from memory); part of it: derived here
 * @checked tests/unit/spc/time-weighted/ewma-width.test.ts
 */
export function ewmaVariance(lambda: number, dependence: Dependence = independent): number {
  if (!(lambda > 0 && lambda <= 1)) throw new RangeError(`lambda must lie above 0 and at most 1, got ${lambda}`);
  const { share, phi } = dependence;
  const memory = phi * (1 - lambda);
  return (lambda / (2 - lambda)) * (1 - share + (share * (1 + memory)) / (1 - memory));
}

/** How plotted points depend on their neighbours: lag-k autocorrelation is `share` times phi^k. */
export interface Dependence {
  /** Share of the variance that the AR(1) part has, 0 to 1. */
  readonly share: number;
  readonly phi: number;
}

export const independent: Dependence = { share: 0, phi: 0 };

/**
 * Fast initial response: the share of an EWMA's half-width that stands at the t-th point after a start.
 *
 * @shape   f, the share at the first point, or null for none; t: points since the start, 1 for the first
 * @unit    dimensionless, f to 1
 * @method  1 - (1 - f)^(1 + a (t - 1)) with a = (-2 / log10(1 - f) - 1) / 19: 0.99 at the twentieth point
 * @throws  RangeError for f outside 0 to 1, or t below 1: a defect in the caller
 * @source  Steiner 1999, Journal of Quality Technology 31:75-86 (from memory)
 * @checked tests/unit/spc/time-weighted/ewma-width.test.ts
 */
export function ewmaFactor(f: number | null, t: number): number {
  if (f === null) return 1;
  if (!(f > 0 && f < 1)) throw new RangeError(`a head start must lie above 0 and below 1, got ${f}`);
  if (!(t >= 1)) throw new RangeError(`points since the start are counted from 1, got ${t}`);
  const a = (-2 / Math.log10(1 - f) - 1) / 19;
  return 1 - (1 - f) ** (1 + a * (t - 1));
}
