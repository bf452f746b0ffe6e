import { verdictAt } from "../model/drawn-chart.ts";
import type { Span } from "../model/grouped.ts";
import type { StudiedChart } from "./result.ts";

/** The charts of a study with what the rules say of them. */
export interface Judged {
  readonly charts: readonly StudiedChart[];
  /** In places of what was read; a chart of batches states its own in its provenance. */
  readonly baseline: Span;
  readonly sigmaWithin: number | null;
  readonly dfWithin: number | null;
}

/**
 * At how many places of the baseline a chart gives a signal; a point beyond a limit is one, whatever rules were asked for.
 *
 * @source  definition
 */
export function signalsInBaseline({ charts }: Judged): number {
  const first = charts[0];
  if (first === undefined) return 0;
  const { from, to } = first.chart.provenance;
  let count = 0;
  for (let place = from; place < to; place += 1) if (charts.some((one) => isOut(one, place))) count += 1;
  return count;
}

function isOut({ chart, signals }: StudiedChart, place: number): boolean {
  if (signals.any(place)) return true;
  const verdict = verdictAt(chart, place);
  return verdict === "above" || verdict === "below";
}

/**
 * Why the charts do not show a stable process, in plain words; null when they do.
 *
 * @source  ISO 22514-4:2016 (summary): capability presupposes shown stability
 */
export function whyNotStable(judged: Judged): string | null {
  const refused = judged.charts.find(({ chart }) => chart.refusal !== null)?.chart.refusal;
  if (refused) return `a chart has no limits: ${refused.detail}`;
  const count = signalsInBaseline(judged);
  if (count === 0) return null;
  return `${count} ${count === 1 ? "point" : "points"} of the baseline gave a signal`;
}
