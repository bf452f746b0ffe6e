import { mean } from "./moments.ts";

/** A lasting change of level inside a series. */
export interface Step {
  /** Index of the first value at the new level. */
  readonly at: number;
  readonly before: number;
  readonly after: number;
}

/** A step nearer to either end than this share of the values is not looked for. */
const TRIM = 0.15;
/** Fewer values tell a step from chance too badly. */
const LEAST = 20;
/** 1 % point of the largest statistic for 15 % trimming; Andrews 2003, Econometrica 71:395-397 (from memory). */
const CRITICAL = 12.16;

/**
 * Step: whether the level of a series changed once and for good, beyond what independence, AR(1), or a slow part
 * beneath white noise explains.
 *
 * @shape   finite values in time order; under 20, or without variation around the levels, none is ever found
 * @unit    `at` an index, levels that of the values
 * @method  largest k(n-k)/n (mean before - mean after)^2 over the middle 70 % of places, over the variance of the
 *          residuals times the larger of (1 + r)/(1 - r), r their lag-1 corrected by (2 + 4r)/n and kept in 0 to 0.97, and
 *          1 + 2 sum (1 - k/(K + 1)) r_k with K = sqrt n: behind measurement noise lag 1 is small and says little of what
 *          is slow; a step when above 12.16. False finds in our own simulation: 1 % independent; 1.4 to 2.2 % at lag-1
 *          0.45, n 300 to 100
 * @cost    O(n sqrt n)
 * @source  Andrews 1993, Econometrica 61:821-856 (from memory); Newey and West 1987, Econometrica 55:703-708 (from memory);
 *          error rates: our own simulation
 * @checked tests/property/spc/stats/step.test.ts
 */
export function findStep(values: readonly number[]): Step | null {
  const n = values.length;
  if (n < LEAST) return null;
  const at = likeliestPlace(values);
  const before = mean(values.slice(0, at));
  const after = mean(values.slice(at));
  const residuals = values.map((value, i) => value - (i < at ? before : after));

  const squares = productsAt(residuals, 0);
  if (!(squares > 0)) return null;
  const raw = productsAt(residuals, 1) / squares;
  const lag = Math.min(Math.max(raw + (2 + 4 * raw) / n, 0), 0.97);
  const inflation = Math.max((1 + lag) / (1 - lag), longRun(residuals, squares));
  const variance = (squares / (n - 2)) * inflation;
  const size = ((at * (n - at)) / n) * (after - before) ** 2;
  return size > CRITICAL * variance ? { at, before, after } : null;
}

function productsAt(residuals: readonly number[], lag: number): number {
  let sum = 0;
  for (let i = lag; i < residuals.length; i += 1) sum += residuals[i]! * residuals[i - lag]!;
  return sum;
}

/** By how much the variance of a mean of many exceeds that of independent ones. */
function longRun(residuals: readonly number[], squares: number): number {
  const most = Math.floor(Math.sqrt(residuals.length));
  let sum = 1;
  for (let lag = 1; lag <= most; lag += 1) sum += (2 * (1 - lag / (most + 1)) * productsAt(residuals, lag)) / squares;
  return sum;
}

/** Where a split explains most; the earliest of equals. */
function likeliestPlace(values: readonly number[]): number {
  const n = values.length;
  const margin = Math.ceil(TRIM * n);
  const centre = mean(values);
  let sum = 0;
  let best = -1;
  let at = margin;
  values.forEach((value, i) => {
    sum += value - centre;
    const k = i + 1;
    if (k < margin || n - k < margin) return;
    // With deviations from the mean, k(n-k)/n (m1 - m2)^2 is n sum^2 / (k (n-k)).
    const explained = (n * sum * sum) / (k * (n - k));
    if (explained > best) {
      best = explained;
      at = k;
    }
  });
  return at;
}
