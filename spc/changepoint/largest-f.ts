/** How often a series without a change of level is said to have one. */
export type FalseFinds = 0.05 | 0.01 | 0.001;

/**
 * Simulated: quantiles of the largest F over all cuts of n independent normals, at 95, 99 and 99.9 %. Trials: 400,000 to
 * n = 200, 200,000 to 1,000, 100,000 at 2,000, 40,000 at 10,000, 15,000 at 100,000, 4,000 at 1,000,000. Standard
 * errors of the last column reach 0.3 to 0.7 from n = 500 on; there it was smoothed over its neighbours by less.
 */
const THRESHOLDS: readonly (readonly [n: number, five: number, one: number, tenth: number])[] = [
  [10, 13.402, 24.243, 47.723],
  [12, 12.283, 21.225, 38.852],
  [15, 11.417, 18.486, 32.224],
  [20, 10.712, 16.614, 26.779],
  [30, 10.225, 15.1, 22.975],
  [50, 9.986, 14.261, 20.666],
  [100, 10.02, 13.807, 19.48],
  [200, 10.197, 13.856, 19.207],
  [500, 10.562, 14.149, 19.207],
  [1000, 10.804, 14.254, 19.275],
  [2000, 11.05, 14.52, 19.3],
  [10_000, 11.59, 15.229, 19.8],
  [100_000, 12.296, 15.72, 20.4],
  [1_000_000, 12.68, 16.33, 21.7],
];

const COLUMNS = { 0.05: 1, 0.01: 2, 0.001: 3 } as const;

/**
 * Largest F by chance: what the best cut of a series into two levels exceeds as often as stated when nothing changed.
 *
 * @shape   n of 10 or more values; one of three rates
 * @unit    dimensionless
 * @method  a table by simulation, linear in ln n between its rows and, by its last two, beyond a million, where growth
 *          slows and the line errs on the side of no change. The F table itself would find a change in most series
 * @throws  RangeError for n below 10: a defect in the caller
 * @cost    O(1)
 * @source  simulation derived here, put to the test with another generator
 * @checked tests/reference/spc/changepoint/coverage.test.ts
 */
export function largestF(n: number, falseFinds: FalseFinds): number {
  if (!(n >= THRESHOLDS[0]![0])) throw new RangeError(`thresholds begin at ${THRESHOLDS[0]![0]} values, got ${n}`);
  const column = COLUMNS[falseFinds];
  const above = THRESHOLDS.findIndex(([rows]) => rows >= n);
  const right = above < 0 ? THRESHOLDS.length - 1 : Math.max(1, above);
  const [fromN, ...from] = THRESHOLDS[right - 1]!;
  const [toN, ...to] = THRESHOLDS[right]!;
  const share = Math.log(n / fromN) / Math.log(toN / fromN);
  return from[column - 1]! + share * (to[column - 1]! - from[column - 1]!);
}
