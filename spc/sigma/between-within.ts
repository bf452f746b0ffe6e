import { fCdf } from "../library/fisher-f.ts";
import type { ChartDesign } from "../model/chart-design.ts";
import type { Grouped } from "../model/grouped.ts";
import { subgroupCount } from "../model/grouped.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { checkDesign } from "./check-design.ts";
import { baselineOf } from "./location.ts";
import { grandMean } from "./means.ts";
import { pooledS } from "./pooled-s.ts";
import { subgroupMoments } from "./subgroup-moments.ts";

/** Variance of single values, split into what acts within subgroups and what acts between them. */
export interface BetweenWithin {
  readonly within: number;
  /** As it comes out: below zero where averages vary less than the spread within allows. */
  readonly betweenRaw: number;
  /** Not below zero. */
  readonly between: number;
  /** Mean square between over mean square within; 1 where nothing acts between. */
  readonly ratio: number;
  /** Chance of so large a ratio where nothing acts between. */
  readonly p: number;
}

/**
 * Between and within: how much of the variance lies between subgroups.
 *
 * @shape   grouped values, and a design whose baseline holds two subgroups or more, one of them of two values
 * @unit    variances that of the characteristic squared; ratio and p dimensionless
 * @method  within = s_p^2; between = (MS_B - MS_W) / n0, n0 = (N - sum n_i^2 / N) / (m - 1), which for equal sizes is
 *          var(averages) - s_p^2 / n; p by F with m - 1 and N - m degrees of freedom
 * @refuses too-few without two subgroups and one spread; zero-variation; not-finite
 * @throws  RangeError for a design that cannot be meant or a value that is no number: a defect in the caller
 * @cost    O(n)
 * @source  NIST/SEMATECH e-Handbook 3.5.1.4 (nested analysis of variance), 6.6.1; unequal sizes: Searle, Casella,
 *          McCulloch, Variance Components (from memory)
 * @checked tests/reference/spc/drawn-variables/three-way.test.ts
 */
export function betweenWithin(data: Grouped, design: ChartDesign): Outcome<BetweenWithin> {
  checkDesign(design, subgroupCount(data));
  const baseline = baselineOf(data, design);
  const { means, sds } = subgroupMoments(baseline);
  return betweenWithinFrom(baseline, means, sds);
}

/**
 * Between and within, from statistics that are already there.
 *
 * @shape   a baseline in its own right, the means and standard deviations of its subgroups, and the mean of all values
 *          where it is known
 * @unit    variances that of the characteristic squared; ratio and p dimensionless
 * @method  as `betweenWithin`
 * @refuses too-few, zero-variation, not-finite
 * @cost    O(m)
 * @source  as `betweenWithin`
 * @checked tests/reference/spc/drawn-variables/three-way.test.ts
 */
export function betweenWithinFrom(
  { values, starts }: Grouped,
  means: Float64Array,
  sds: Float64Array,
  grand: number | null = null,
): Outcome<BetweenWithin> {
  const count = values.length;
  const centre = grand ?? (count === 0 ? 0 : grandMean(means, starts));
  let groups = 0;
  let squares = 0;
  let sizes = 0;
  let to = starts[0]!;
  for (let i = 0; i < means.length; i += 1) {
    const from = to;
    to = starts[i + 1]!;
    if (to === from) continue;
    const d = means[i]! - centre;
    groups += 1;
    squares += (to - from) * d * d;
    sizes += (to - from) * (to - from);
  }
  if (groups < 2 || count === groups) {
    return refuse("too-few", "two subgroups are needed, and one with two values", { needs: 2, has: groups });
  }
  const { pooled, df } = pooledS(sds, starts);
  const within = pooled ** 2;
  const mean = squares / (groups - 1);
  if (!Number.isFinite(within) || !Number.isFinite(mean)) {
    return refuse("not-finite", "arithmetic with the values leaves the range of numbers");
  }
  if (!(within > 0)) return refuse("zero-variation", "no subgroup varies");
  const betweenRaw = (mean - within) / ((count - sizes / count) / (groups - 1));
  const ratio = mean / within;
  const p = Number.isFinite(ratio) ? Math.max(0, 1 - fCdf(ratio, groups - 1, df)) : 0;
  return ok({ within, betweenRaw, between: Math.max(0, betweenRaw), ratio, p });
}
