import type { SpreadEstimate } from "./spread.ts";

/** Where values lie and how far they spread, whatever the order they came in. */
export interface OverallEstimate extends SpreadEstimate {
  readonly mean: number;
}

/**
 * Overall sigma: how far all values spread, shifts and drifts between subgroups included.
 *
 * @shape   two or more finite values
 * @unit    that of the characteristic; df dimensionless
 * @method  s with n - 1, without c4, by the corrected two-pass over differences from the first value; df = n - 1
 * @throws  RangeError for fewer than two values: a defect in the caller
 * @cost    O(n)
 * @source  Chan, Golub, LeVeque 1983, The American Statistician 37:242-247 (from memory); ISO 22514-2 calls it
 *          performance (from memory)
 * @checked tests/reference/spc/sigma/estimators.test.ts
 */
export function overallSigma(values: Float64Array): OverallEstimate {
  const n = values.length;
  if (n < 2) throw new RangeError(`an overall sigma needs two or more values, got ${n}`);
  const first = values[0]!;
  let sum = 0;
  for (let i = 1; i < n; i += 1) sum += values[i]! - first;
  const shift = sum / n;
  let squares = 0;
  let rest = 0;
  for (let i = 0; i < n; i += 1) {
    const d = values[i]! - first - shift;
    squares += d * d;
    rest += d;
  }
  const within = squares - (rest * rest) / n;
  return { mean: first + (shift + rest / n), sigma: Math.sqrt(Math.max(within, 0) / (n - 1)), df: n - 1 };
}
