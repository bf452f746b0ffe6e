import { c4 } from "../factors/c4.ts";
import { movingRangeDfShare } from "../sigma/moving-range.ts";

/** What the error of a limit follows from. */
export interface LimitErrorRequest {
  /** From the centre to a limit, in the unit of the plotted statistic. */
  readonly half: number;
  /** Sigma of the plotted statistic from the centre to a limit. */
  readonly k: number;
  /** Plotted points behind the limits. */
  readonly points: number;
  /** Runs of a full subgroup; 1 for single runs. */
  readonly runs: number;
  /** `chart`: moving ranges, or s within subgroups; `overall`: s of the plotted points. */
  readonly basis: "chart" | "overall";
}

/**
 * How far a limit estimated from so few points may lie from where endless ones would put it, to either side.
 *
 * @shape   the limits' half width and what they rest on; 25 points or more
 * @unit    that of the plotted statistic
 * @method  1.96 half sqrt(1 / (k^2 m) + v) for m points, v being the relative variance of sigma: 1 / (2 df) with
 *          df = 0.605 (m - 1) from moving ranges and m - 1 from s of all, (1 - c4^2) / (c4^2 m) from the mean s of m
 *          subgroups. Independent normal values; centre and sigma taken as independent
 * @throws  RangeError for a request that is none: a defect in the caller
 * @cost    O(1)
 * @source  large-sample normal approximation, derived here; c4 and df as in NIST/SEMATECH e-Handbook 6.3.2
 * @checked tests/reference/spc/charts/limit-error.test.ts: our own simulation, seeds fixed
 */
export function limitError({ half, k, points, runs, basis }: LimitErrorRequest): number {
  if (!(half >= 0 && half < Infinity && k > 0 && points >= 2 && runs >= 1)) {
    throw new RangeError(`a limit needs a width, a k, points and runs, got ${half}, ${k}, ${points}, ${runs}`);
  }
  return 1.96 * half * Math.sqrt(1 / (k * k * points) + relativeVariance(points, runs, basis));
}

function relativeVariance(points: number, runs: number, basis: LimitErrorRequest["basis"]): number {
  if (basis === "overall") return 1 / (2 * (points - 1));
  if (runs === 1) return 1 / (2 * movingRangeDfShare() * (points - 1));
  const factor = c4(runs) ** 2;
  return (1 - factor) / (factor * points);
}
