/** What is left of dependence where it no longer matters. */
const LITTLE = 0.1;

/**
 * Variance of a batch mean: how much the mean of b neighbours varies when each leans towards the one before it.
 *
 * @shape   phi, the lag-1 autocorrelation; b, values in a batch
 * @unit    dimensionless, share of the variance of single values
 * @method  ((1 + phi) / (1 - phi) - 2 phi (1 - phi^b) / (b (1 - phi)^2)) / b, exact for AR(1)
 * @throws  RangeError for phi outside -1 to 1, or b that is no whole number of one or more: a defect in the caller
 * @cost    O(1)
 * @source  Runger and Willemain 1996, IIE Transactions 28:481-487 (from memory)
 * @checked tests/reference/spc/time-weighted/batch-means.test.ts
 */
export function batchMeanVariance(phi: number, b: number): number {
  checkBatch(phi, b);
  return ((1 + phi) / (1 - phi) - (2 * phi * (1 - phi ** b)) / (b * (1 - phi) ** 2)) / b;
}

/**
 * Correlation of batch means: what dependence is left between the means of neighbouring batches.
 *
 * @shape   phi, the lag-1 autocorrelation; b, values in a batch
 * @unit    dimensionless
 * @method  phi (1 - phi^b)^2 / (b (1 - phi^2) - 2 phi (1 - phi^b)), exact for AR(1)
 * @throws  RangeError for phi outside -1 to 1, or b that is no whole number of one or more: a defect in the caller
 * @cost    O(1)
 * @source  Runger and Willemain 1996, IIE Transactions 28:481-487 (from memory)
 * @checked tests/reference/spc/time-weighted/batch-means.test.ts
 */
export function batchMeanCorrelation(phi: number, b: number): number {
  checkBatch(phi, b);
  const left = 1 - phi ** b;
  return (phi * left * left) / (b * (1 - phi * phi) - 2 * phi * left);
}

/**
 * Batch size: the smallest batch whose means hardly depend on each other any more.
 *
 * @shape   phi, the lag-1 autocorrelation; the correlation that may be left
 * @unit    values in a batch, two or more
 * @method  the smallest b of two or more with a correlation of batch means at most that
 * @throws  RangeError for phi outside -0.999 to 0.999, or a correlation outside 0 to 1: a defect in the caller
 * @cost    O(b), some thousand at phi = 0.999
 * @source  Runger and Willemain 1996, IIE Transactions 28:481-487 (from memory)
 * @checked tests/reference/spc/time-weighted/batch-means.test.ts
 */
export function batchSizeFor(phi: number, atMost: number = LITTLE): number {
  if (!(Math.abs(phi) <= 0.999)) throw new RangeError(`phi must lie from -0.999 to 0.999, got ${phi}`);
  if (!(atMost > 0 && atMost < 1)) throw new RangeError(`a correlation must lie above 0 and below 1, got ${atMost}`);
  let b = 2;
  while (batchMeanCorrelation(phi, b) > atMost) b += 1;
  return b;
}

/**
 * Decorrelation spacing: how many points apart single values hardly depend on each other any more.
 *
 * @shape   phi, the lag-1 autocorrelation; the correlation that may be left
 * @unit    points, one or more
 * @method  the smallest whole d with phi^d at most that
 * @throws  RangeError for phi outside -0.999 to 0.999, or a correlation outside 0 to 1: a defect in the caller
 * @cost    O(1)
 * @source  textbook identity of AR(1): r_d = phi^d; no source
 * @checked tests/unit/spc/time-weighted/ar1.test.ts
 */
export function decorrelationSpacing(phi: number, atMost: number = LITTLE): number {
  if (!(Math.abs(phi) <= 0.999)) throw new RangeError(`phi must lie from -0.999 to 0.999, got ${phi}`);
  if (!(atMost > 0 && atMost < 1)) throw new RangeError(`a correlation must lie above 0 and below 1, got ${atMost}`);
  if (phi <= atMost) return 1;
  // A ratio of logarithms that is whole but for its last bits is whole.
  return Math.ceil(Math.log(atMost) / Math.log(phi) - 1e-12);
}

function checkBatch(phi: number, b: number): void {
  if (!(Math.abs(phi) < 1)) throw new RangeError(`phi must lie between -1 and 1, got ${phi}`);
  if (!(Number.isInteger(b) && b >= 1)) throw new RangeError(`a batch has one or more values, got ${b}`);
}
