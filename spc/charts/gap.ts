/** Expected intervals that memory reaches across. */
const INTERVALS = 3;

/** Place on the axis, as far as memory of earlier points depends on it. Plain JSON. */
export interface Continuity {
  readonly lastMs: number | null;
  /** Of the last point that could be judged. */
  readonly valuedMs: number | null;
  /** Points since then that could not. */
  readonly missing: number;
}

export const unbroken: Continuity = { lastMs: null, valuedMs: null, missing: 0 };

/**
 * Gap: whether two neighbouring points lie too far apart to belong together.
 *
 * @shape   times of neighbouring points in order, and the expected interval; all in milliseconds
 * @unit    dimensionless, true or false
 * @method  more than three expected intervals from one to the next
 * @throws  RangeError for an interval that is not above zero: a defect in the caller
 * @source  common practice, no source
 * @checked tests/unit/spc/charts/gap.test.ts
 */
export function isGap(fromMs: number, toMs: number, everyMs: number): boolean {
  if (!(everyMs > 0)) throw new RangeError(`a spacing needs an interval above zero, got ${everyMs} ms`);
  return toMs - fromMs > INTERVALS * everyMs;
}

/**
 * Next continuity: whether what came before still counts at this point.
 *
 * @shape   the place so far, the point's time, whether it can be judged, the expected interval
 * @unit    times in milliseconds
 * @method  memory ends after a gap, after more than three points in a row that could not be judged, and when more
 *          than four and a half intervals lie between two that could: three places, the next, and half for uneven cycles
 * @throws  RangeError for an interval that is not above zero: a defect in the caller
 * @source  common practice, no source
 * @checked tests/unit/spc/charts/gap.test.ts
 */
export function nextContinuity(
  so: Continuity,
  atMs: number,
  evaluable: boolean,
  everyMs: number,
): { readonly continuity: Continuity; readonly anew: boolean } {
  const missing = evaluable ? 0 : so.missing + 1;
  const silent = so.valuedMs !== null && atMs - so.valuedMs > (INTERVALS + 1.5) * everyMs;
  const apart = so.lastMs !== null && isGap(so.lastMs, atMs, everyMs);
  const anew = apart || silent || missing > INTERVALS;
  const valuedMs = evaluable ? atMs : anew ? null : so.valuedMs;
  return { continuity: { lastMs: atMs, valuedMs, missing: anew ? 0 : missing }, anew };
}
