import type { ChartPoint, Verdict } from "../model/point.ts";
import { judge } from "../model/point.ts";
import type { Stage, Step } from "../model/stage.ts";
import type { CusumScheme, CusumState } from "./cusum-sums.ts";
import { checkCusum, cusumNext, cusumStart, cusumZ } from "./cusum-sums.ts";
import type { Weighed } from "./ewma.ts";

/** One point of a CUSUM, in sigma of the plotted average. */
export interface CusumPoint {
  readonly upper: ChartPoint;
  readonly lower: ChartPoint;
  /** Distance from the centre of the point itself; none where it is missing. */
  readonly z: number | null;
  /** Of the point itself, where a limit for it was asked. */
  readonly single: Verdict;
}

/**
 * Tabular CUSUM: two sums of how far points lie beyond k on either side, each against a limit h.
 *
 * @shape   the frozen scheme; averages with their subgroups' sizes in time order, or null with the reason
 * @unit    sigma of the plotted average
 * @method  z = (x - centre) sqrt(n) / sigma; C+ = max(0, C+ + z - k), C- = max(0, C- - z - k); a signal where a sum lies
 *          strictly beyond h. A missing point holds both; so does a gap. After a correction both begin anew at the head
 *          start; without one they never do
 * @throws  RangeError for a scheme that cannot be meant or a value that is no number: a defect in the caller
 * @cost    O(1) a point
 * @source  Page 1954, Biometrika 41:100-115; Lucas and Crosier 1982, Technometrics 24:199-205; limit for single points:
 *          Lucas 1982 (all from memory); NIST/SEMATECH e-Handbook 6.3.2.3
 * @checked tests/reference/spc/time-weighted/nist-cusum.test.ts
 */
export function cusumStage(scheme: CusumScheme): Stage<CusumState, Weighed, CusumPoint> {
  checkCusum(scheme);
  const begun = cusumStart(scheme);
  return {
    initial: begun,
    step(before, { subgroup, value, size, corrected }): Step<CusumState, CusumPoint> {
      const from = corrected === true ? begun : before;
      const z = value === null ? null : cusumZ(scheme, value, size);
      const state = z === null ? from : cusumNext(scheme, from, z, size, subgroup);
      const { shewhart, h } = scheme;
      const single = z === null || shewhart === null ? "not-evaluable" : judge(z, -shewhart, shewhart);
      const upper = summed(subgroup, z === null ? null : state.upper.value, h);
      const lower = summed(subgroup, z === null ? null : state.lower.value, h);
      return { state, out: [{ upper, lower, z, single }] };
    },
  };
}

function summed(subgroup: number, value: number | null, h: number): ChartPoint {
  const verdict = value === null ? "not-evaluable" : judge(value, 0, h);
  return { subgroup, value, centre: 0, lower: null, upper: h, verdict };
}
