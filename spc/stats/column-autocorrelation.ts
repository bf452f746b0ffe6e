import type { Column } from "../model/column.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { finiteOnes } from "./finite.ts";
import { deviations, scaling } from "./scaling.ts";
import { lagProducts } from "./sums.ts";

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
 * @cost    O(n lags), two arrays, one more when places are missing
 * @source  definition of the NIST Statistical Reference Datasets, univariate; scaling for missing values derived here
 * @checked tests/reference/spc/stats/moments.test.ts
 */
export function columnAutocorrelations(column: Column, lags: number): Outcome<ColumnAutocorrelations> {
  if (!Number.isInteger(lags) || lags < 1) throw new RangeError(`one lag or more is needed, got ${lags}`);
  const raw = column.raw;
  if (typeof raw === "number" && Number.isFinite(raw)) return refuse("zero-variation", "all values are equal");
  if (typeof raw === "number") return refuse("too-few", "no values", { needs: lags + 1, has: 0 });
  const there = finiteOnes(raw);
  const n = there.length;
  if (n <= lags) return refuse("too-few", `${n} values do not reach a lag of ${lags}`, { needs: lags + 1, has: n });
  const scale = scaling(there);
  if (scale.smallest === scale.largest) return refuse("zero-variation", "all values are equal", { has: n });
  // A place without a number has a deviation of zero, and so adds nothing to any sum.
  const d = deviations(raw, scale);
  const squares = lagProducts(d, 0);

  const r: number[] = [];
  for (let k = 1; k <= lags; k += 1) {
    const pairs = pairsAt(raw, k, n);
    if (pairs === 0) return refuse("too-few", `no two values lie ${k} places apart`, { needs: 1, has: 0 });
    r.push((lagProducts(d, k) / squares) * ((n - k) / pairs));
  }
  return ok({ n, r, neighbours: (stepSquares(raw, d) / squares) * ((n - 1) / pairsAt(raw, 1, n)) });
}

/** How many pairs that far apart are both there. */
function pairsAt(raw: Float64Array, k: number, there: number): number {
  if (there === raw.length) return raw.length - k;
  let pairs = 0;
  for (let i = 0; i + k < raw.length; i += 1) if (Number.isFinite(raw[i]!) && Number.isFinite(raw[i + k]!)) pairs += 1;
  return pairs;
}

/** Sum of squared differences of neighbours that are both there. */
function stepSquares(raw: Float64Array, d: Float64Array): number {
  const steps = new Float64Array(d.length);
  for (let i = 1; i < d.length; i += 1) {
    if (Number.isFinite(raw[i]!) && Number.isFinite(raw[i - 1]!)) steps[i] = d[i]! - d[i - 1]!;
  }
  return lagProducts(steps, 0);
}
