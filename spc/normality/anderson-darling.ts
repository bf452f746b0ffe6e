import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { sortedCopy } from "../stats/quantile-definitions.ts";
import { deviations, scaling } from "../stats/scaling.ts";
import { lagProducts, shiftedSum } from "../stats/sums.ts";
import { logNormalCdf } from "./log-normal-cdf.ts";

/** The approximations of p hold from here; D'Agostino and Stephens 1986 (from memory). */
const LEAST = 8;
/** No smaller p is told: its approximation was never fitted so far out; common practice, no source. */
const LEAST_P = 3.7e-24;

/** How far values lie from a normal, tails weighed most. */
export interface AndersonDarling {
  readonly n: number;
  readonly a2: number;
  /** a2 brought to where its critical values no longer depend on n: 5 % at 0.752. */
  readonly adjusted: number;
  /** Chance of as large a statistic from a normal; never below 3.7e-24. */
  readonly p: number;
}

/**
 * Anderson-Darling test: whether values may come from a normal. From 500 values on trivial departures reject, under 30
 * nothing does: p alone never decides.
 *
 * @shape   8 or more finite values, in any order; ties and rounding enlarge the statistic
 * @unit    dimensionless; p a probability
 * @method  A2 = -n - sum (2i - 1)(ln F_i + ln(1 - F_{n+1-i})) / n, F the normal with the mean and sd (n - 1) of the
 *          values, logarithms taken of tails; adjusted = A2 (1 + 0.75/n + 2.25/n^2); p in four pieces by `adjusted`
 * @refuses too-few under 8; zero-variation
 * @throws  RangeError for values that are not finite: a defect in the caller
 * @cost    O(n log n), a sorted copy and one more array
 * @source  D'Agostino and Stephens 1986, Goodness-of-Fit Techniques, table 4.9 (from memory)
 * @checked tests/reference/spc/normality/normality.test.ts
 */
export function andersonDarling(values: ArrayLike<number>): Outcome<AndersonDarling> {
  const n = values.length;
  if (n < LEAST) return refuse("too-few", "too few values for a test of normality", { needs: LEAST, has: n });
  const sorted = sortedCopy(values);
  const scale = scaling(sorted);
  if (scale.smallest === scale.largest) return refuse("zero-variation", "all values are equal", { has: n });
  const terms = deviations(sorted, scale);
  const sd = Math.sqrt(lagProducts(terms, 0) / (n - 1));
  for (let i = 0; i < n; i += 1) {
    // Both tails come from the smaller one, which alone is kept to all its digits.
    const z = terms[i]! / sd;
    const small = logNormalCdf(-Math.abs(z));
    const large = Math.log1p(-Math.exp(small));
    terms[i] = ((2 * i + 1) * (z < 0 ? small : large) + (2 * (n - i) - 1) * (z < 0 ? large : small)) / n;
  }
  const a2 = -n - shiftedSum(terms, 1, 0);
  const adjusted = a2 * (1 + 0.75 / n + 2.25 / (n * n));
  return ok({ n, a2, adjusted, p: chance(adjusted) });
}

/**
 * Anderson-Darling statistic by the older adjustment that a handbook prints: 5 % at 0.787.
 *
 * @shape   the statistic and the count of values it came from
 * @unit    dimensionless
 * @method  A2 (1 + 4/n - 25/n^2)
 * @cost    O(1)
 * @source  NIST/SEMATECH e-Handbook 1.4.2.8.3, where it gives .129
 * @checked tests/reference/spc/normality/normality.test.ts
 */
export function olderAdjustment({ a2, n }: Pick<AndersonDarling, "a2" | "n">): number {
  return a2 * (1 + 4 / n - 25 / (n * n));
}

function chance(a: number): number {
  // Beyond 13 the fitted parabola has no more to say, and far out it would turn upwards.
  if (a > 13) return LEAST_P;
  if (a >= 0.6) return Math.max(LEAST_P, Math.exp(1.2937 - 5.709 * a + 0.0186 * a * a));
  if (a >= 0.34) return Math.exp(0.9177 - 4.279 * a - 1.38 * a * a);
  if (a >= 0.2) return 1 - Math.exp(-8.318 + 42.796 * a - 59.938 * a * a);
  return 1 - Math.exp(-13.436 + 101.14 * a - 223.73 * a * a);
}
