import { normalQuantile } from "../library/normal.ts";
import { mean } from "./moments.ts";

/**
 * Autocorrelation r_k: how far a value tells the one k places later.
 *
 * @shape   values in time order; null holds the place of a missing one, and no pair reaches across a null at lag 1
 * @unit    dimensionless, between -1 and 1 when nothing is missing
 * @method  r_k = sum (x_t - m)(x_{t+k} - m) / sum (x_t - m)^2 over all t; with values missing, the sum over the
 *          pairs that are left is scaled by (n - k) / pairs, n being the values there are. Zero where nothing varies
 * @throws  RangeError when k is no whole number of 1 or more: a defect in the caller
 * @cost    O(n)
 * @source  definition of the NIST Statistical Reference Datasets, univariate; scaling for missing values derived here
 * @checked tests/reference/spc/stats/moments.test.ts
 */
export function autocorrelation(values: readonly (number | null)[], k: number): number {
  if (!Number.isInteger(k) || k < 1) throw new RangeError(`autocorrelation needs a lag of one or more, got ${k}`);
  const there = values.filter((value) => value !== null);
  if (there.length <= k) return 0;
  const centre = mean(there);
  let squares = 0;
  for (const value of there) squares += (value - centre) ** 2;
  let products = 0;
  let pairs = 0;
  for (let t = 0; t + k < values.length; t += 1) {
    const earlier = values[t];
    const later = values[t + k];
    if (earlier == null || later == null) continue;
    products += (earlier - centre) * (later - centre);
    pairs += 1;
  }
  if (pairs === 0 || !(squares > 0)) return 0;
  return (products / squares) * ((there.length - k) / pairs);
}

/**
 * Band of lag-1 autocorrelation: how far from zero chance alone takes it.
 *
 * @shape   n: how many values, one or more
 * @unit    dimensionless
 * @method  -z/sqrt(n) to z/sqrt(n), z the 97.5 % quantile of the normal: 95 % of independent series stay inside
 * @throws  RangeError for n below one: a defect in the caller
 * @source  NIST/SEMATECH e-Handbook 1.3.3.1 (from memory)
 * @checked tests/reference/spc/stats/moments.test.ts
 */
export function autocorrelationBand(n: number): readonly [number, number] {
  if (!(n >= 1)) throw new RangeError(`the band needs one or more values, got ${n}`);
  const half = normalQuantile(0.975) / Math.sqrt(n);
  return [-half, half];
}
