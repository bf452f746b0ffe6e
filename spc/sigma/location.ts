import type { ChartDesign } from "../model/chart-design.ts";
import type { Grouped } from "../model/grouped.ts";
import { rangeBreaks, subgroupCount } from "../model/grouped.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { checkDesign } from "./check-design.ts";
import { meanRange } from "./mean-range.ts";
import { meanS } from "./mean-s.ts";
import { grandMean } from "./means.ts";
import { movingRangeSigmaOf } from "./moving-range.ts";
import { movingRangesOf } from "./moving-ranges.ts";
import { overallSigma } from "./overall.ts";
import { pooledS } from "./pooled-s.ts";
import type { SpreadEstimate } from "./spread.ts";
import { subgroupMoments, subgroupSizes } from "./subgroup-moments.ts";
import { subgroupRanges } from "./subgroup-ranges.ts";

/** Where a process lies and how much single values vary, as its charts take it. */
export interface SigmaEstimate {
  /** `moving-range`, `mean-range`, `mean-s`, `pooled-s`, `overall` or `given`. */
  readonly estimator: string;
  readonly centre: number;
  /** Of single values, above zero. */
  readonly sigma: number;
  /** Degrees of freedom of sigma, not necessarily whole; null when it was given. */
  readonly df: number | null;
  /** Subgroups of the baseline that hold a value. */
  readonly n: number;
}

/** What is wanted where all subgroups of the baseline have one size; unequal sizes are pooled whatever is wanted. */
export type PreferredEstimator = "mean-range" | "mean-s" | "pooled-s";

/** Spread below this share of the level lies in the last bits of the numbers. */
const LAST_BITS = 1e-12;

/**
 * Location and sigma of a baseline: the one estimate that all charts of grouped values start from.
 *
 * @shape   grouped values in time order and a design; `prefer` where all subgroups of the baseline have one size
 * @unit    that of the characteristic; df and n dimensionless
 * @method  centre = mean of all values of the baseline. Sigma: moving ranges of two where no subgroup has two values;
 *          else mean s / c4 for equal and pooled s / c4 for unequal sizes; s with n - 1 on the basis `overall`. What is
 *          given stands in place of its estimate
 * @refuses too-few without two subgroups, or without a spread to estimate from; zero-variation; not-finite when
 *          squares of the values leave the range of numbers
 * @throws  RangeError for a design that cannot be meant or a value that is no number: a defect in the caller
 * @cost    O(n); two numbers a subgroup of the baseline
 * @source  ISO 7870-2 (from memory); NIST/SEMATECH e-Handbook 6.3.2.1, 6.3.2.2; unequal sizes: Park & Wang 2020,
 *          Mathematics 8:698 (abstract opened)
 * @checked tests/reference/spc/sigma/estimators.test.ts
 */
export function estimateLocation(
  data: Grouped,
  design: ChartDesign,
  prefer: PreferredEstimator = "mean-s",
): Outcome<SigmaEstimate> {
  checkDesign(design, subgroupCount(data));
  const baseline = baselineOf(data, design);
  const { means, sds } = subgroupMoments(baseline);
  return locationFrom(baseline, design, means, sds, prefer);
}

/**
 * Baseline of grouped values: the subgroups that limits rest on, in their own right.
 *
 * @shape   grouped values, a checked design; views, no copies
 * @unit    that of the characteristic
 * @cost    O(1), and O(m) where subgroups do not begin at the first
 * @source  derived here
 * @checked tests/unit/spc/sigma/location.test.ts
 */
export function baselineOf({ values, starts, anew, apart }: Grouped, { baseline }: ChartDesign): Grouped {
  const { from, to } = baseline;
  const first = starts[from]!;
  const own = starts.subarray(from, to + 1);
  const inside = (places: readonly number[]): readonly number[] =>
    places.filter((place) => place > from && place < to).map((place) => place - from);
  return {
    values: values.subarray(first, starts[to]!),
    starts: first === 0 ? own : own.map((start) => start - first),
    anew: inside(anew),
    ...(apart === undefined ? {} : { apart: inside(apart) }),
  };
}

/**
 * Location and sigma from statistics that are already there.
 *
 * @shape   a baseline in its own right, and the means and standard deviations of its subgroups
 * @unit    that of the characteristic; df and n dimensionless
 * @method  as `estimateLocation`
 * @refuses too-few, zero-variation, not-finite
 * @cost    O(m)
 * @source  as `estimateLocation`
 * @checked tests/reference/spc/sigma/estimators.test.ts
 */
export function locationFrom(
  baseline: Grouped,
  design: ChartDesign,
  means: Float64Array,
  sds: Float64Array,
  prefer: PreferredEstimator,
): Outcome<SigmaEstimate> {
  const found = unchecked(baseline, design, means, sds, prefer);
  // Lines, of averages or ranges, must be numbers as well.
  if (!found.ok || Number.isFinite(reach(found.value, design.k))) return found;
  return refuse("not-finite", "arithmetic with the values leaves the range of numbers");
}

/** No line of any chart lies farther out: the mean range of 1000 is 6.5 sigma. */
function reach({ centre, sigma }: SigmaEstimate, k: number): number {
  return Math.abs(centre) + (k + 10) * sigma;
}

function unchecked(
  baseline: Grouped,
  design: ChartDesign,
  means: Float64Array,
  sds: Float64Array,
  prefer: PreferredEstimator,
): Outcome<SigmaEstimate> {
  const n = means.length - countNone(means);
  if (design.centre !== null && design.sigma !== null) {
    return ok({ estimator: "given", centre: design.centre, sigma: design.sigma, df: null, n });
  }
  const least = design.sigma === null ? 2 : 1;
  if (n < least) {
    const detail = `${least} subgroups of the baseline need a value, ${n} have one`;
    return refuse("too-few", detail, { needs: least, has: n });
  }
  const centre = design.centre ?? grandMean(means, baseline.starts);
  if (design.sigma !== null) return ok({ estimator: "given", centre, sigma: design.sigma, df: null, n });

  const estimator = estimatorFor(baseline.starts, design, prefer);
  const spread = spreadBy(estimator, baseline, means, sds);
  if (spread === null) {
    return refuse("too-few", "no two neighbouring points of the baseline are both there", { needs: 1, has: 0 });
  }
  const finite = Number.isFinite(centre) && Number.isFinite(spread.sigma);
  if (finite && spread.sigma <= LAST_BITS * largestOf(means)) {
    const where = estimator === "moving-range" ? "no value differs from the one before it" : "no subgroup varies";
    return refuse("zero-variation", estimator === "overall" ? "all values are equal" : where);
  }
  return ok({ estimator, centre, sigma: spread.sigma, df: spread.df, n });
}

function estimatorFor(starts: Uint32Array, design: ChartDesign, prefer: PreferredEstimator): string {
  if (design.basis === "overall") return "overall";
  const { smallest, largest } = subgroupSizes(starts);
  if (largest < 2) return "moving-range";
  return smallest === largest ? prefer : "pooled-s";
}

function spreadBy(estimator: string, baseline: Grouped, means: Float64Array, sds: Float64Array): SpreadEstimate | null {
  const { values, starts } = baseline;
  if (estimator === "overall") return overallSigma(values);
  if (estimator === "pooled-s") return pooledS(sds, starts);
  const { largest } = subgroupSizes(starts);
  if (estimator === "mean-s") return meanS(sds, largest);
  if (estimator === "mean-range") return meanRange(subgroupRanges(baseline), largest);
  const ranges = movingRangesOf(means, rangeBreaks(baseline));
  return countNone(ranges) === ranges.length ? null : movingRangeSigmaOf(ranges);
}

function largestOf(column: Float64Array): number {
  let largest = 0;
  for (let i = 0; i < column.length; i += 1) {
    const size = Math.abs(column[i]!);
    if (size > largest) largest = size;
  }
  return largest;
}

function countNone(column: Float64Array): number {
  let none = 0;
  for (let i = 0; i < column.length; i += 1) if (Number.isNaN(column[i]!)) none += 1;
  return none;
}
