/** A standard deviation from several groups of repeated readings. */
export interface PooledSpread {
  readonly ss: number;
  readonly df: number;
  readonly s: number;
}

/**
 * Pooled repeatability: one standard deviation of a sensor at a steady state, from several occasions or pieces.
 *
 * @shape   for each group its sum of squares about its own mean, zero or more, and its degrees of freedom, one or more
 * @unit    s that of the readings
 * @method  s = sqrt(sum of sums of squares / sum of degrees of freedom)
 * @throws  RangeError without groups or for one that is none: a defect in the caller
 * @source  NIST/SEMATECH e-Handbook 2.4.4.4
 * @checked tests/reference/spc/gauge/nested.test.ts
 */
export function pooledRepeatability(groups: readonly { readonly ss: number; readonly df: number }[]): PooledSpread {
  let [ss, df] = [0, 0];
  for (const group of groups) {
    if (!(group.ss >= 0 && group.ss < Infinity && group.df >= 1 && group.df < Infinity)) {
      throw new RangeError(`a group needs ss >= 0 and df >= 1, got ${group.ss}, ${group.df}`);
    }
    ss += group.ss;
    df += group.df;
  }
  if (df === 0) throw new RangeError("a pooled standard deviation needs one or more groups, got 0");
  return { ss, df, s: Math.sqrt(ss / df) };
}
