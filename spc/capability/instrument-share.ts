/**
 * Index as observed: what is left of the true index when the instrument adds its own spread to what it measures.
 *
 * @shape   the true index; ratio = sigma of the instrument over sigma of the process, zero or more
 * @unit    dimensionless
 * @method  true / sqrt(1 + ratio^2)
 * @throws  RangeError for a ratio that is none: a defect in the caller
 * @source  derived here: the variances of process and instrument add up
 * @checked tests/unit/spc/capability/instrument-share.test.ts
 */
export function indexAsObserved(trueIndex: number, ratio: number): number {
  return trueIndex / Math.hypot(1, checked(ratio));
}

/**
 * Index behind the instrument: what the process alone would show, from the index observed.
 *
 * @shape   the observed index; ratio = sigma of the instrument over sigma of the process, zero or more
 * @unit    dimensionless
 * @method  observed sqrt(1 + ratio^2)
 * @throws  RangeError for a ratio that is none: a defect in the caller
 * @source  derived here: the variances of process and instrument add up
 * @checked tests/unit/spc/capability/instrument-share.test.ts
 */
export function indexBehindInstrument(observed: number, ratio: number): number {
  return observed * Math.hypot(1, checked(ratio));
}

function checked(ratio: number): number {
  if (!(ratio >= 0 && ratio < Infinity)) throw new RangeError(`a ratio of spreads is zero or more, got ${ratio}`);
  return ratio;
}
