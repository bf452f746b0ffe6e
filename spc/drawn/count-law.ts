import { binomialCdf, poissonCdf } from "../library/counts.ts";
import { normalQuantile } from "../library/normal.ts";

/** How counts vary by chance: pieces of a sample that are bad or not, or faults that may fall anywhere. */
export type CountLaw = "binomial" | "poisson";

/** One form of chart for counts: its law, and whether it plots the count or the count over its size. */
export interface CountForm {
  readonly kind: "p" | "np" | "c" | "u";
  readonly law: CountLaw;
  readonly plots: "count" | "rate";
}

/** Beyond so many a count and its neighbour are no longer two numbers. */
const MOST_EXPECTED = 2 ** 50;

/** Chances of a point beyond either limit while nothing but chance acts. */
export interface ChanceBeyond {
  readonly below: number;
  readonly above: number;
}

/**
 * Variance of a count: how far counts at one size scatter by chance.
 *
 * @shape   the law, the size, the rate for one unit of size
 * @unit    counts squared
 * @method  n p (1 - p) for the binomial, n u for the Poisson
 * @source  NIST/SEMATECH e-Handbook 6.3.3.1 and 6.3.3.2
 * @checked tests/reference/spc/attributes/p.test.ts
 */
export function countVariance(law: CountLaw, size: number, rate: number): number {
  return law === "binomial" ? size * rate * (1 - rate) : size * rate;
}

/**
 * Exact limits of a count: the narrowest whole ones that chance passes, on either side, at most half as often as asked.
 *
 * @shape   the law, a size above zero (whole for the binomial), the rate, and alpha for both sides together
 * @unit    counts
 * @method  upper: the smallest U with P(D > U) <= alpha / 2; lower: the largest L with P(D < L) <= alpha / 2. A count on a
 *          limit is within it. Both sought from where a normal has them
 * @throws  RangeError for a size, rate or alpha out of range: a defect in the caller
 * @cost    some five values of the distribution a limit
 * @source  binomial and Poisson limits as in ISO 7870-2 (from memory)
 * @checked tests/unit/spc/attributes/count-law.test.ts
 */
export function exactLimits(
  law: CountLaw,
  size: number,
  rate: number,
  alpha: number,
): { readonly lower: number; readonly upper: number } {
  if (!(alpha > 0 && alpha < 1)) throw new RangeError(`limits need 0 < alpha < 1, got ${alpha}`);
  const mean = size * rate;
  if (!(mean < MOST_EXPECTED)) throw new RangeError(`no exact limits where ${mean} are expected`);
  // Fifty sigma out, and some, both tails are below any alpha that can be asked for.
  const reach = Math.ceil(mean + 50 * Math.sqrt(mean) + 100);
  const most = law === "binomial" ? Math.min(size, reach) : reach;
  const half = -normalQuantile(alpha / 2) * Math.sqrt(countVariance(law, size, rate));
  const upper = smallest(mean + half, most, (x) => 1 - atMost(law, x, size, rate) <= alpha / 2);
  const lower = smallest(mean - half, most, (x) => atMost(law, x, size, rate) > alpha / 2);
  return { lower, upper };
}

/**
 * Chance beyond limits: how often a point of a process that is stable lies outside its own limits.
 *
 * @shape   the law, a size, the rate, and limits of the count
 * @unit    dimensionless
 * @method  P(D < lower) and P(D > upper), a count on a limit within it; limits that the arithmetic leaves a last bit
 *          away from a whole number count as that number
 * @throws  RangeError for a size or rate out of range: a defect in the caller
 * @source  definition
 * @checked tests/property/spc/attributes/false-signals.test.ts
 */
export function chanceBeyond(
  law: CountLaw,
  size: number,
  rate: number,
  limits: { readonly lower: number; readonly upper: number },
): ChanceBeyond {
  const first = Math.ceil(limits.lower - 1e-12 * Math.abs(limits.lower));
  const last = Math.floor(limits.upper + 1e-12 * Math.abs(limits.upper));
  return {
    below: first > 0 ? atMost(law, first - 1, size, rate) : 0,
    above: Math.max(0, 1 - atMost(law, last, size, rate)),
  };
}

function atMost(law: CountLaw, x: number, size: number, rate: number): number {
  if (law === "poisson") return poissonCdf(x, size * rate);
  return x >= size ? 1 : binomialCdf(x, size, rate);
}

/** The smallest whole number from 0 to `most` that holds, given that all above one that holds do, sought from a guess. */
function smallest(guess: number, most: number, holds: (x: number) => boolean): number {
  let to = Math.min(most, Math.max(0, Math.round(guess)));
  let from = to;
  let step = 1;
  if (holds(to)) {
    for (; from > 0 && holds(from); step *= 2) {
      to = from;
      from = Math.max(0, from - step);
    }
    if (from === 0 && holds(0)) return 0;
  } else {
    for (; to < most && !holds(to); step *= 2) {
      from = to;
      to = Math.min(most, to + step);
    }
  }
  // `from` does not hold, `to` does.
  while (to - from > 1) {
    const middle = Math.floor((from + to) / 2);
    if (holds(middle)) to = middle;
    else from = middle;
  }
  return to;
}
