import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import type { Specification } from "../model/specification.ts";
import { LEAST_DISTINCT } from "../stats/thresholds.ts";
import { nearestIndex, spreadIndex } from "./indices.ts";
import type { Interval } from "./interval.ts";
import { nearestInterval, spreadInterval } from "./interval.ts";

/** Summary values that the four indices follow from. */
export interface IndexSummary {
  readonly n: number;
  readonly mean: number;
  readonly sigmaOverall: number;
  /** Sigma within with its degrees of freedom, or what leaves Cp and Cpk without one. */
  readonly within: Outcome<{ readonly sigma: number; readonly df: number }>;
  readonly specification: Pick<Specification, "lower" | "upper">;
  readonly confidence: number;
}

/**
 * Cp and Cpk from within sigma, Pp and Ppk from overall sigma, each with its two-sided interval or the reason why there
 * is none: the same numbers for the pages and for the command.
 *
 * @shape   summary values and the specification
 * @unit    dimensionless
 * @method  intervals by chi-square (Cp, Pp) and Bissell (Cpk, Ppk)
 * @refuses Cp and Pp: one-sided-specification; Cp and Cpk: what `within` says; not-a-number where an index leaves the
 *          range of numbers
 * @cost    O(1)
 * @source  Bissell 1990, Applied Statistics 39:331-340 (from memory)
 * @checked tests/reference/spc/capability/study.test.ts, tests/unit/spc/capability/capability-of.test.ts
 */
export function fourIndices(summary: IndexSummary): Readonly<Record<"cp" | "cpk" | "pp" | "ppk", Outcome<Interval>>> {
  const { n, mean, sigmaOverall, within, confidence } = summary;
  // The unit and origin of a specification have no part in an index.
  const limits = { ...summary.specification, unit: "", origin: "" };
  const spread = (sigma: number, df: number): Outcome<Interval> =>
    writable(spreadIndex(limits, sigma), (estimate) => spreadInterval(estimate, df, confidence));
  const nearest = (sigma: number, df: number): Outcome<Interval> =>
    writable(nearestIndex(limits, mean, sigma), (estimate) => nearestInterval(estimate, n, df, confidence));
  return {
    cp: within.ok ? spread(within.value.sigma, within.value.df) : within,
    cpk: within.ok ? nearest(within.value.sigma, within.value.df) : within,
    pp: spread(sigmaOverall, n - 1),
    ppk: nearest(sigmaOverall, n - 1),
  };
}

/**
 * An index with its interval, as far as both are numbers that can be written.
 *
 * @shape   an index or its refusal, and how its interval follows
 * @unit    dimensionless
 * @refuses not-a-number
 * @source  definition
 * @checked tests/unit/spc/capability/capability-of.test.ts
 */
export function writable(index: Outcome<number>, interval: (estimate: number) => Interval): Outcome<Interval> {
  if (!index.ok) return index;
  if (!Number.isFinite(index.value)) return tooLarge;
  const { estimate, lower, upper, confidence } = interval(index.value);
  return [estimate, lower, upper].every(Number.isFinite) ? ok({ estimate, lower, upper, confidence }) : tooLarge;
}

/** The refusal of an index that no number holds. */
export const tooLarge: ReturnType<typeof refuse> = refuse("not-a-number", "the index is too large to be written");

/**
 * Values too coarse for a sigma within; null where they are fine enough.
 *
 * @shape   a count of distinct values
 * @unit    none
 * @refuses few-distinct-values (under 5)
 * @source  common practice, no source
 * @checked tests/unit/spc/capability/capability-of.test.ts
 */
export function tooCoarse(distinct: number): ReturnType<typeof refuse> | null {
  if (distinct >= LEAST_DISTINCT) return null;
  const detail = `the values take only ${distinct} levels: the instrument is too coarse`;
  return refuse("few-distinct-values", detail, { needs: LEAST_DISTINCT, has: distinct });
}
