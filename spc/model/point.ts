import type { Refusal } from "./outcome.ts";

/** What a chart says of one subgroup. */
export type Verdict = "within" | "above" | "below" | "not-evaluable";

/** Judges a value against limits. On a limit is within; anything not provably within, NaN included, never is. */
export function judge(value: number, lower: number, upper: number): Verdict {
  const slack = 1e-12 * Math.max(Math.abs(value), Math.abs(lower), Math.abs(upper));
  if (value > upper + slack) return "above";
  if (value < lower - slack) return "below";
  return lower - slack <= value && value <= upper + slack ? "within" : "not-evaluable";
}

/** A subgroup's statistic, or the reason there is none; it takes its place on the axis either way. */
export interface Plotted {
  /** Place on the characteristic's axis, counted from 0 over streamed points. */
  readonly subgroup: number;
  /** End of its (last) run, source time. */
  readonly atMs: number;
  readonly value: number | null;
  readonly missing?: Refusal;
}

/** One plotted statistic judged against the limits in force when it came. */
export interface ChartPoint {
  readonly subgroup: number;
  readonly value: number | null;
  readonly centre: number | null;
  readonly lower: number | null;
  readonly upper: number | null;
  readonly verdict: Verdict;
}
