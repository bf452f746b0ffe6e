import type { Side } from "../../../spc/model/signal.ts";

/** A chart that a fault ought to show on, from the fault's beginning on. */
export interface ExpectedChart {
  readonly characteristic: string;
  readonly side: Side;
  /** Source time by which all but one in a hundred such charts have signalled; null where the fault is over before. */
  readonly dueMs: number | null;
}

export interface ChartSignal {
  readonly characteristic: string;
  readonly side: Side;
  readonly atMs: number;
}

/** `found` by the time due, `late` after it; `missed` never; `censored` where nothing is due inside the score. */
export type Outcome = "found" | "late" | "missed" | "censored";

export interface Judged {
  readonly outcome: Outcome;
  readonly dueMs: number | null;
  readonly foundMs: number | null;
}

/**
 * What became of a fault. Due when the first of its charts is: a person needs one flag. What counts are signals that the
 * twin without the fault does not give, of the right feature and on the right side.
 */
export function outcomeOf(
  charts: readonly ExpectedChart[],
  signals: readonly ChartSignal[],
  alsoDueMs: number | null = null,
  alsoFoundMs: number | null = null,
): Judged {
  const dueMs = least([alsoDueMs, ...charts.map((chart) => chart.dueMs)]);
  const right = signals.filter((signal) =>
    charts.some((chart) => chart.characteristic === signal.characteristic && chart.side === signal.side),
  );
  const foundMs = least([alsoFoundMs, ...right.map(({ atMs }) => atMs)]);
  if (dueMs === null) return { outcome: "censored", dueMs, foundMs };
  if (foundMs === null) return { outcome: "missed", dueMs, foundMs };
  return { outcome: foundMs <= dueMs ? "found" : "late", dueMs, foundMs };
}

function least(times: readonly (number | null)[]): number | null {
  const there = times.filter((one) => one !== null);
  return there.length === 0 ? null : Math.min(...there);
}
