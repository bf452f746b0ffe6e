/** How sure a confidence set of change points can be. */
export type SetConfidence = 0.9 | 0.95 | 0.99;

/**
 * Simulated: 400,000 series of independent normals whose mean moved by half a sigma after 100 values and that a
 * three-sigma individuals chart then stopped (series with an earlier signal thrown away); each entry is that quantile
 * of the drop in log-likelihood from its largest to the true place. Of all that was tried (10, 30, 100, 300 values
 * before; shifts of 0.5 to 3 sigma; stopped by the chart, by a CUSUM of 0.5 and 4.77, or 1 to 100 values after the
 * change) this is the least favourable but for 300 values before, 0.02 above; standard error below 0.01.
 */
const DROPS: Readonly<Record<SetConfidence, number>> = { 0.9: 3.73, 0.95: 4.56, 0.99: 6.25 };

/**
 * Largest drop in log-likelihood that a place may lie below the best and still belong to the confidence set.
 *
 * @shape   one of three confidences
 * @unit    natural logarithm
 * @method  a table by simulation, calibrated at the least favourable shift of half a sigma: sets for larger shifts hold
 *          the true place more often than they say. Smaller shifts, and looks without a signal, are not covered
 * @cost    O(1)
 * @source  simulation derived here, repeated in the test; no chi-square quantile will do, because a change point is
 *          discrete and its likelihood has no curvature
 * @checked tests/reference/spc/changepoint/coverage.test.ts
 */
export function largestDrop(confidence: SetConfidence): number {
  return DROPS[confidence];
}
