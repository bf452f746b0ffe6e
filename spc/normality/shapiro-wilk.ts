import { normalCdf, normalQuantile } from "../library/normal.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { exactSum } from "../stats/exact-sum.ts";
import { powerOfTwoScale } from "../stats/finite.ts";
import { sortedCopy } from "../stats/quantile-definitions.ts";

const LEAST = 3;
const MOST = 5000;

// Polynomials of AS R94, constant term first.
const WEIGHT_1 = [0, 0.221157, -0.147981, -2.07119, 4.434685, -2.706056];
const WEIGHT_2 = [0, 0.042981, -0.293762, -1.752461, 5.682633, -3.582633];
const SMALL_BOUND = [-2.273, 0.459];
const SMALL_MEAN = [0.544, -0.39978, 0.025054, -6.714e-4];
const SMALL_LOG_SD = [1.3822, -0.77857, 0.062767, -0.0020322];
const LARGE_MEAN = [-1.5861, -0.31082, -0.083751, 0.0038915];
const LARGE_LOG_SD = [-0.4803, -0.082676, 0.0030302];

/** How straight values lie on normal paper. */
export interface ShapiroWilk {
  readonly n: number;
  /** One where they lie on a line. */
  readonly w: number;
  /** Chance of as small a w from a normal. */
  readonly p: number;
}

/**
 * Shapiro-Wilk test: whether values may come from a normal.
 *
 * @shape   3 to 5000 finite values, in any order
 * @unit    dimensionless; p a probability
 * @method  W, the squared correlation of the sorted values with Royston's weights; p from the normal approximation of
 *          ln(1 - W), or of -ln(g - ln(1 - W)) up to 11 values; exact for 3
 * @refuses too-few under 3; too-many above 5000, where the approximation was never fitted; zero-variation
 * @throws  RangeError for values that are not finite: a defect in the caller
 * @cost    O(n log n)
 * @source  Royston 1995, algorithm AS R94, Applied Statistics 44:547-551 (from memory)
 * @checked tests/reference/spc/normality/normality.test.ts
 */
export function shapiroWilk(values: ArrayLike<number>): Outcome<ShapiroWilk> {
  const n = values.length;
  if (n < LEAST) return refuse("too-few", "too few values for a test of normality", { needs: LEAST, has: n });
  if (n > MOST) return refuse("too-many", `this test of normality holds up to ${MOST} values`, { needs: MOST, has: n });
  const sorted = sortedCopy(values);
  const smallest = sorted[0]!;
  const largest = sorted.at(-1)!;
  if (smallest === largest) return refuse("zero-variation", "all values are equal", { has: n });

  const weights = halfWeights(n);
  // Antisymmetric, so that they sum to zero and take no part of the mean.
  const weight = (i: number): number => {
    const mirrored = n - 1 - i;
    return i === mirrored ? 0 : i < mirrored ? -weights[i]! : weights[mirrored]!;
  };
  const outer = powerOfTwoScale(Math.max(Math.abs(smallest), Math.abs(largest)));
  const inner = powerOfTwoScale((largest - smallest) * outer);
  const shifted = (i: number): number => (sorted[i]! * outer - smallest * outer) * inner;
  const centre = exactSum(n, shifted) / n;
  const squares = exactSum(n, (i) => (shifted(i) - centre) ** 2);
  const ofWeights = exactSum(n, (i) => weight(i) ** 2);
  const products = exactSum(n, (i) => weight(i) * (shifted(i) - centre));
  // 1 - W from a difference, so that a W near one loses no digits.
  const both = Math.sqrt(squares * ofWeights);
  const rest = Math.max(0, ((both - products) * (both + products)) / (squares * ofWeights));
  return ok({ n, w: 1 - rest, p: chance(rest, n) });
}

/** Weights of the smaller half, from the outermost in, as positive numbers. */
function halfWeights(n: number): readonly number[] {
  if (n === 3) return [Math.SQRT1_2];
  const half = Math.floor(n / 2);
  const scores = Array.from({ length: half }, (_, i) => normalQuantile((i + 0.625) / (n + 0.25)));
  const total = 2 * scores.reduce((sum, score) => sum + score * score, 0);
  const root = 1 / Math.sqrt(n);
  const first = polynomial(WEIGHT_1, root) - scores[0]! / Math.sqrt(total);
  const outermost = n > 5 ? [first, polynomial(WEIGHT_2, root) - scores[1]! / Math.sqrt(total)] : [first];
  let scoresLeft = total;
  let weightsLeft = 1;
  outermost.forEach((weight, i) => {
    scoresLeft -= 2 * scores[i]! ** 2;
    weightsLeft -= 2 * weight * weight;
  });
  const factor = Math.sqrt(scoresLeft / weightsLeft);
  return scores.map((score, i) => outermost[i] ?? -score / factor);
}

/** Chance of a rest 1 - W as large. */
function chance(rest: number, n: number): number {
  if (n === 3)
    return Math.min(1, Math.max(0, (6 / Math.PI) * (Math.asin(Math.sqrt(1 - rest)) - Math.asin(Math.sqrt(0.75)))));
  if (rest === 0) return 1;
  const log = Math.log(rest);
  if (n <= 11) {
    const bound = polynomial(SMALL_BOUND, n);
    if (log >= bound) return 1e-99;
    const mean = polynomial(SMALL_MEAN, n);
    return normalCdf((mean + Math.log(bound - log)) / Math.exp(polynomial(SMALL_LOG_SD, n)));
  }
  const logN = Math.log(n);
  return normalCdf((polynomial(LARGE_MEAN, logN) - log) / Math.exp(polynomial(LARGE_LOG_SD, logN)));
}

function polynomial(coefficients: readonly number[], x: number): number {
  return coefficients.reduceRight((sum, coefficient) => sum * x + coefficient, 0);
}
