import type { Column } from "../model/column.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { exactSum } from "./exact-sum.ts";
import { extremes } from "./finite.ts";
import { scaling } from "./series-moments.ts";

/** Autocorrelations of a column, lag 1 first. */
export interface ColumnAutocorrelations {
  /** How many places have a number. */
  readonly n: number;
  readonly r: readonly number[];
  /** Sum of squared differences of neighbouring places over the sum of squared deviations: see `durbinWatson`. */
  readonly neighbours: number;
}

/**
 * Autocorrelations of a column: how far a value tells those one, two, ... places later. The fast twin of
 * `autocorrelation` for millions of places.
 *
 * @shape   a column in time order; a place without a number keeps its place, and no pair is made with it
 * @unit    dimensionless
 * @method  r_k = sum (x_t - m)(x_{t+k} - m) / sum (x_t - m)^2 over all t; with places missing, the sum over the pairs
 *          that are left is scaled by (n - k) / pairs. Deviations scaled by powers of two, sums compensated
 * @refuses too-few when there are no more than `lags` numbers or no pair at a lag; zero-variation when all are equal
 * @throws  RangeError when `lags` is no whole number of 1 or more, or for a value beyond 1e307: a defect in the caller
 * @cost    O(n lags); no more memory than a copy when places are missing
 * @source  definition of the NIST Statistical Reference Datasets, univariate; scaling for missing values derived here
 * @checked tests/reference/spc/stats/moments.test.ts
 */
export function columnAutocorrelations(column: Column, lags: number): Outcome<ColumnAutocorrelations> {
  if (!Number.isInteger(lags) || lags < 1) throw new RangeError(`one lag or more is needed, got ${lags}`);
  const raw = column.raw;
  if (typeof raw === "number") return refuse("zero-variation", "all values are equal");
  const there = raw.every((value) => Number.isFinite(value)) ? raw : raw.filter((value) => Number.isFinite(value));
  const n = there.length;
  if (n <= lags) return refuse("too-few", `${n} values do not reach a lag of ${lags}`, { needs: lags + 1, has: n });
  const { smallest, largest } = extremes(there);
  if (smallest === largest) return refuse("zero-variation", "all values are equal", { has: n });
  const { centre, outer, inner } = scaling(there, smallest, largest);
  const whole = n === raw.length;
  const deviation = (i: number): number => (raw[i]! * outer - centre) * inner;
  const squares = exactSum(n, (i) => ((there[i]! * outer - centre) * inner) ** 2);

  const r: number[] = [];
  for (let k = 1; k <= lags; k += 1) {
    const { sum, pairs } = overPairs(raw, k, whole, (i) => deviation(i) * deviation(i + k));
    if (pairs === 0) return refuse("too-few", `no two values lie ${k} places apart`, { needs: 1, has: 0 });
    r.push((sum / squares) * ((n - k) / pairs));
  }
  const steps = overPairs(raw, 1, whole, (i) => (deviation(i + 1) - deviation(i)) ** 2);
  return ok({ n, r, neighbours: (steps.sum / squares) * ((n - 1) / steps.pairs) });
}

/** Sum over all pairs that far apart of which both are there. */
function overPairs(
  raw: Float64Array,
  k: number,
  whole: boolean,
  term: (i: number) => number,
): { readonly sum: number; readonly pairs: number } {
  const places = raw.length - k;
  if (whole) return { sum: exactSum(places, term), pairs: places };
  let pairs = 0;
  const sum = exactSum(places, (i) => {
    if (!Number.isFinite(raw[i]!) || !Number.isFinite(raw[i + k]!)) return 0;
    pairs += 1;
    return term(i);
  });
  return { sum, pairs };
}
