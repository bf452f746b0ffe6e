/** What customers write into contracts; they are agreements and no statistics. */
const USUAL_THRESHOLDS: readonly number[] = [1, 1.33, 1.67, 2];
/** Arithmetic noise: an index this close below a threshold is on it. */
const NOISE = 1e-12;

/**
 * Shown index: the text of an index, never rounded up across a threshold that it does not reach.
 *
 * @shape   a finite index, the thresholds that somebody may hold it against
 * @unit    dimensionless, two decimals
 * @method  rounded to two decimals; downwards when a threshold lies above the index and not above the rounded one
 * @throws  RangeError for an index that is no number: a defect in the caller
 * @source  derived here: a shown 1.33 must not be a 1.3299
 * @checked tests/unit/spc/capability/shown-index.test.ts
 */
export function shownIndex(index: number, thresholds: readonly number[] = USUAL_THRESHOLDS): string {
  if (!Number.isFinite(index)) throw new RangeError(`an index to show must be a number, got ${index}`);
  const rounded = index.toFixed(2);
  const crossed = thresholds.some((threshold) => {
    const reached = index >= threshold - NOISE * Math.abs(threshold);
    return !reached && Number(rounded) >= threshold;
  });
  const text = crossed ? (Math.ceil(Number(rounded) * 100 - 1) / 100).toFixed(2) : rounded;
  return text === "-0.00" ? "0.00" : text;
}
