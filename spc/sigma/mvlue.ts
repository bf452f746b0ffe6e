import { c4 } from "../factors/c4.ts";
import { d2 } from "../factors/d2.ts";
import { d3 } from "../factors/d3.ts";
import type { SpreadEstimate } from "./spread.ts";

/**
 * Sigma from standard deviations of unequal subgroups, each weighed by how well it is known.
 *
 * @shape   standard deviations and starts of the same subgroups, at least one of two values; NaN stands for none
 * @unit    that of the characteristic; df dimensionless
 * @method  sum h_i s_i / c4(n_i) over sum h_i, h_i = c4^2 / (1 - c4^2), which varies least among unbiased linear
 *          ones; df = sum h_i / 2, the chi that varies as much
 * @throws  RangeError without a standard deviation: a defect in the caller
 * @cost    O(m)
 * @source  Burr 1969 (from memory); degrees of freedom derived here
 * @checked tests/reference/spc/sigma/estimators.test.ts
 */
export function mvlueS(sds: Float64Array, starts: Uint32Array): SpreadEstimate {
  return weighted(sds, starts, (n) => ({ factor: c4(n), weight: c4(n) ** 2 / (1 - c4(n) ** 2) }));
}

/**
 * Sigma from ranges of unequal subgroups, each weighed by how well it is known.
 *
 * @shape   ranges and starts of the same subgroups, at least one of two values; NaN stands for none
 * @unit    that of the characteristic; df dimensionless
 * @method  sum f_i R_i / d2(n_i) over sum f_i, f_i = d2^2 / d3^2, which varies least among unbiased linear ones;
 *          df = sum f_i / 2, the chi that varies as much
 * @throws  RangeError without a range: a defect in the caller
 * @cost    O(m)
 * @source  Burr 1969 (from memory); degrees of freedom derived here
 * @checked tests/reference/spc/sigma/estimators.test.ts
 */
export function mvlueRange(ranges: Float64Array, starts: Uint32Array): SpreadEstimate {
  return weighted(ranges, starts, (n) => ({ factor: d2(n), weight: d2(n) ** 2 / d3(n) ** 2 }));
}

function weighted(
  spreads: Float64Array,
  starts: Uint32Array,
  bySize: (n: number) => { readonly factor: number; readonly weight: number },
): SpreadEstimate {
  const known = new Map<number, { readonly factor: number; readonly weight: number }>();
  let sum = 0;
  let weights = 0;
  for (let i = 0; i < spreads.length; i += 1) {
    if (Number.isNaN(spreads[i]!)) continue;
    const n = starts[i + 1]! - starts[i]!;
    const own = known.get(n) ?? bySize(n);
    known.set(n, own);
    sum += (own.weight * spreads[i]!) / own.factor;
    weights += own.weight;
  }
  if (weights === 0) throw new RangeError("a weighted sigma needs one or more spreads, got none");
  return { sigma: sum / weights, df: weights / 2 };
}
