import type { Caution, DrawnChart } from "../model/drawn-chart.ts";
import { verdictAt } from "../model/drawn-chart.ts";
import { distinctValues } from "./distinct.ts";
import { sortedCopy } from "./quantile-definitions.ts";
import { LEAST_DISTINCT } from "./thresholds.ts";

/** Whether an instrument shows the process, or its own steps. */
export interface Resolution {
  /** Distinct values of the spread chart inside its limits; all of them where it has none. */
  readonly distinctRanges: number;
  /** Smallest difference between two distinct single values; null when there is but one. */
  readonly increment: number | null;
  /** `few-distinct-values` and `coarse-increment`; none when the resolution will do. */
  readonly cautions: readonly Caution[];
}

/**
 * Resolution: whether limits and capability rest on the process or on the steps of the instrument.
 *
 * @shape   `values`: single finite values, one or more; `spread`: the chart of ranges, moving ranges or s, or null;
 *          `sigma`: spread of single values, or null when it is not known; `step`: the instrument's own increment
 *          where known, or null, and then the smallest difference seen stands for it
 * @unit    `increment` that of the values, the rest counts
 * @method  fewer than 5 distinct ranges inside their limits, or an increment above sigma. Values closer than 1e-9 of
 *          the largest are one value, as in `distinctValues`
 * @throws  RangeError without values or for values that are not finite: a defect in the caller
 * @cost    O(n log n)
 * @source  AIAG Measurement Systems Analysis, 4th ed., ch. II; Wheeler and Lyday 1989, Evaluating the Measurement
 *          Process (both from memory)
 * @checked tests/unit/spc/stats/resolution.test.ts
 */
export function resolution(
  values: ArrayLike<number>,
  spread: DrawnChart | null,
  sigma: number | null,
  step: number | null = null,
): Resolution {
  const increment = step ?? smallestDifference(sortedCopy(values));
  const distinctRanges = spread === null ? 0 : distinctValues(insideLimits(spread));
  const cautions: Caution[] = [];
  if (spread !== null && distinctRanges < LEAST_DISTINCT) {
    const text = `only ${distinctRanges} distinct values of spread lie inside their limits, ${LEAST_DISTINCT} or more are needed`;
    cautions.push({ code: "few-distinct-values", text });
  }
  if (increment !== null && sigma !== null && increment > sigma) {
    const text = `the smallest step between values, ${increment}, is larger than sigma, ${sigma}`;
    cautions.push({ code: "coarse-increment", text });
  }
  return { distinctRanges, increment, cautions };
}

/** Ranges inside their limits; all that there are where there are no limits. */
function insideLimits(chart: DrawnChart): Float64Array {
  const inside = new Float64Array(chart.values.length);
  let count = 0;
  for (let place = 0; place < chart.values.length; place += 1) {
    const value = chart.values.at(place);
    const verdict = verdictAt(chart, place);
    if (value === null || verdict === "above" || verdict === "below") continue;
    inside[count] = value;
    count += 1;
  }
  return inside.subarray(0, count);
}

function smallestDifference(sorted: Float64Array): number | null {
  const least = 1e-9 * Math.max(Math.abs(sorted[0]!), Math.abs(sorted.at(-1)!));
  let smallest: number | null = null;
  for (let i = 1; i < sorted.length; i += 1) {
    const difference = sorted[i]! - sorted[i - 1]!;
    if (difference > least && (smallest === null || difference < smallest)) smallest = difference;
  }
  return smallest;
}
