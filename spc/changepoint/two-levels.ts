import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import type { Scaling } from "../stats/scaling.ts";
import { deviations, scaling, typed } from "../stats/scaling.ts";
import { lagProducts } from "../stats/sums.ts";

/** Fewer values tell a change of level from chance too badly; the thresholds begin here. */
export const LEAST_LEVEL_VALUES = 10;
/** Equal within this share of the largest is equal: the earliest of equals is told. */
const TIE = 1e-12;
/** A rest below this share of the whole spread is rounding, not variation. */
const ROUNDING = 1e-13;

/** Every way to cut a series into two levels, and the best of them. */
export interface TwoLevels {
  /** First place of the second level, in the best cut. */
  readonly index: number;
  readonly before: number;
  readonly after: number;
  /** `explained[k]`: k (n - k) / n (mean before - mean after)^2 for a second level that begins at k; 0 at k = 0. */
  readonly explained: Float64Array;
  /** Sum of squares about the one mean. Both in scaled units: only ratios count. */
  readonly total: number;
  /** How the values were brought near one. */
  readonly scale: Scaling;
}

/**
 * Two levels: how much of the spread each cut of a series into two levels explains.
 *
 * @shape   10 or more finite values in time order
 * @unit    levels that of the values; `explained` and `total` in one scaled unit of their own
 * @method  with c_k the running sum of deviations from the mean, explained = n c_k^2 / (k (n - k)); largest, the
 *          earliest of equals. Deviations scaled by powers of two, running sum compensated
 * @refuses too-few under 10; zero-variation when all are equal, or when nothing varies within the two levels
 * @throws  RangeError for values that are not finite: a defect in the caller
 * @cost    O(n), one array
 * @source  methods for one change of mean: Hawkins 1977, Journal of the American Statistical Association 72:180-186
 *          (from memory)
 * @checked tests/reference/spc/changepoint/changepoint.test.ts
 */
export function twoLevels(values: ArrayLike<number>): Outcome<TwoLevels> {
  const n = values.length;
  if (n < LEAST_LEVEL_VALUES) {
    return refuse("too-few", "too few values to tell a change of level", { needs: LEAST_LEVEL_VALUES, has: n });
  }
  const x = typed(values);
  const scale = scaling(x);
  if (scale.smallest === scale.largest) return refuse("zero-variation", "all values are equal", { has: n });
  const explained = deviations(x, scale);
  const total = lagProducts(explained, 0);
  let sum = 0;
  let lost = 0;
  let best = 0;
  // Each deviation makes room for what a cut after it explains.
  let d = explained[0]!;
  explained[0] = 0;
  for (let k = 1; k < n; k += 1) {
    const next = sum + d;
    lost += Math.abs(sum) >= Math.abs(d) ? sum - next + d : d - next + sum;
    sum = next;
    const part = ((sum + lost) ** 2 * n) / (k * (n - k));
    d = explained[k]!;
    explained[k] = part;
    if (part > best) best = part;
  }
  if (total - best <= ROUNDING * total)
    return refuse("zero-variation", "nothing varies within the two levels", { has: n });
  const index = explained.findIndex((part) => part >= best * (1 - TIE));
  return ok({
    index,
    before: scaling(x.subarray(0, index)).mean,
    after: scaling(x.subarray(index)).mean,
    explained,
    total,
    scale,
  });
}
