import { c4 } from "../factors/c4.ts";
import type { SpreadEstimate } from "./spread.ts";

/** Pooled standard deviation beside the sigma freed of its bias. */
export interface PooledEstimate extends SpreadEstimate {
  /** Root of the pooled variance, as an analysis of variance has it. */
  readonly pooled: number;
}

/**
 * Sigma from the pooled standard deviation: how much single values vary within subgroups of any size.
 *
 * @shape   standard deviations and starts of the same subgroups, at least one of two values; NaN stands for none
 * @unit    that of the characteristic; df dimensionless
 * @method  s_p^2 = sum (n_i - 1) s_i^2 / nu, nu = sum (n_i - 1); sigma = s_p / c4(nu + 1); df = nu
 * @throws  RangeError without a standard deviation: a defect in the caller
 * @cost    O(m)
 * @source  Burr 1969; Park & Wang 2020, Mathematics 8:698, warns of plain averages over unequal sizes (abstract opened)
 * @checked tests/reference/spc/sigma/estimators.test.ts
 */
export function pooledS(sds: Float64Array, starts: Uint32Array): PooledEstimate {
  let squares = 0;
  let df = 0;
  for (let i = 0; i < sds.length; i += 1) {
    const sd = sds[i]!;
    if (Number.isNaN(sd)) continue;
    const share = starts[i + 1]! - starts[i]! - 1;
    squares += share * sd * sd;
    df += share;
  }
  if (df === 0) throw new RangeError("a pooled s needs one or more standard deviations, got none");
  const pooled = Math.sqrt(squares / df);
  return { sigma: pooled / c4(df + 1), df, pooled };
}
