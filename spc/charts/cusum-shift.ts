import type { CusumScheme, CusumState } from "./cusum-sums.ts";

/** What a sum that signals says of the shift. */
export interface CusumShift {
  /** Place of the first point after the change, as the last zero of the sum has it. */
  readonly since: number;
  readonly points: number;
  /** Of the shift, in sigma of the plotted average, with its sign. */
  readonly size: number;
  /** Mean since then, in the unit of the characteristic. */
  readonly mean: number;
}

/**
 * Shift behind a sum: since when, and how large, if something changed at once and stayed so.
 *
 * @shape   the scheme, which side, the state after the point of interest
 * @unit    since: a place; size in sigma of the plotted average; mean in the unit of the characteristic
 * @method  the change lies after the last zero; N points and a sum C since then from C0 give the size k + (C - C0) / N.
 *          Null while the sum stands at zero, and for sums of scale, which say nothing of the mean
 * @cost    O(1)
 * @source  Page 1954, Biometrika 41:100-115 (from memory); unequal sizes, weighted by their roots, and the head start
 *          taken off again: derived here
 * @checked tests/reference/spc/time-weighted/nist-cusum.test.ts
 */
export function cusumShift(scheme: CusumScheme, side: "upper" | "lower", state: CusumState): CusumShift | null {
  const { value, since, from, points, roots } = state[side];
  if (since === null || points === 0 || scheme.of === "scale") return null;
  const sign = side === "upper" ? 1 : -1;
  const total = value - from + scheme.k * points;
  return {
    since,
    points,
    size: (sign * total) / points,
    mean: scheme.centre + sign * (total / roots) * scheme.sigma,
  };
}
