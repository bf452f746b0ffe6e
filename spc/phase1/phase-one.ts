import type { Caution, DrawnChart, DrawnCharts } from "../model/drawn-chart.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { judge } from "../model/point.ts";
import type { RecordedCause } from "./recorded-cause.ts";
import { completeCauses } from "./recorded-cause.ts";

/** Beyond this share of points with causes the process is not stable, and no limits are worth freezing. */
const MOST_EXCLUDED = 1 / 3;

/** A form of chart, drawn over a whole series with limits from all places but the excluded ones. */
export type DrawWithout = (exclude: readonly number[]) => DrawnCharts;

/** A point beyond the limits of its chart. */
export interface PhaseOneSignal {
  /** Kind of the chart. */
  readonly chart: string;
  readonly place: number;
  readonly side: "above" | "below";
  /** Why it was left out; null when it stays. */
  readonly cause: RecordedCause | null;
}

/** Limits from one choice of points, and what signals against them. */
export interface PhaseOneLimits {
  readonly excluded: readonly number[];
  readonly drawn: DrawnCharts;
  /** All points against these limits, spread charts first; the excluded ones too, where they can be judged. */
  readonly signals: readonly PhaseOneSignal[];
}

/** Trial limits, and beside them those without the points whose causes are recorded. */
export interface PhaseOne {
  readonly trial: PhaseOneLimits;
  /** Null while no cause is recorded. */
  readonly revised: PhaseOneLimits | null;
  /** Signals of the newest limits that have no cause: a search is due; without a find they stay. */
  readonly unexplained: readonly PhaseOneSignal[];
  readonly cautions: readonly Caution[];
}

/**
 * Phase I: trial limits, their signals, and the limits without those points whose cause somebody recorded. Asked again
 * with each further cause until no signal is left that can be explained. Nothing is ever left out by itself: an
 * automatic pass cannot be asked for, because each exclusion takes a recorded cause.
 *
 * @shape   `draw`: the form of chart; an excluded place may come back as a point or as none. `causes`: recorded so far
 * @unit    none of its own
 * @method  draws with nothing left out, then without all places that have a cause; every point judged by both, an
 *          excluded one by its trial value against the revised limits. Caution spread-signals while a spread chart
 *          signals without a cause: the limits of location then rest on a spread that is itself in doubt
 * @refuses too-many-excluded when more than a third of the points have causes: the process is not stable, the limits
 *          would describe what is left of it; cause-incomplete
 * @throws  RangeError for a cause at a place that does not exist or is named twice: a defect in the caller
 * @cost    two drawings, O(n)
 * @source  ISO 7870-2:2023 cl. 4.9 (from memory); Woodall 2000, Journal of Quality Technology 32:341-350 (from memory);
 *          the third: common practice, no source
 * @checked tests/reference/spc/phase1/orange-juice.test.ts
 */
export function phaseOne(draw: DrawWithout, causes: readonly RecordedCause[]): Outcome<PhaseOne> {
  const first = draw([]);
  const length = first.charts[0]?.values.length ?? 0;
  const complete = completeCauses(causes, length);
  if (!complete.ok) return complete;
  const excluded = causes.map(({ place }) => place).sort((a, b) => a - b);
  const points = pointsOf(first);
  if (excluded.length > MOST_EXCLUDED * points) {
    const most = Math.floor(MOST_EXCLUDED * points);
    const text = `causes are recorded for ${excluded.length} of ${points} points; beyond a third the process is not stable`;
    return refuse("too-many-excluded", text, { needs: most, has: excluded.length });
  }
  const trial = { excluded: [], drawn: first, signals: signalsOf(first, first, causes) };
  const second = excluded.length === 0 ? null : draw(excluded);
  const revised = second && { excluded, drawn: second, signals: signalsOf(second, first, causes) };
  const newest = revised ?? trial;
  const unexplained = newest.signals.filter(({ cause }) => cause === null);
  const spreads = new Set(newest.drawn.charts.slice(1).map(({ kind }) => kind));
  const doubtful = unexplained.filter(({ chart }) => spreads.has(chart)).length;
  const text = `the spread chart signals at ${doubtful} points without a cause, so the limits of location rest on a spread in doubt`;
  const cautions = [...newest.drawn.cautions, ...(doubtful > 0 ? [{ code: "spread-signals", text }] : [])];
  return ok({ trial, revised, unexplained, cautions });
}

function pointsOf({ charts }: DrawnCharts): number {
  const chart = charts[0];
  let points = 0;
  for (let place = 0; place < (chart?.values.length ?? 0); place += 1) if (chart?.values.at(place) != null) points += 1;
  return points;
}

function signalsOf(limits: DrawnCharts, points: DrawnCharts, causes: readonly RecordedCause[]): PhaseOneSignal[] {
  const byPlace = new Map(causes.map((cause) => [cause.place, cause]));
  // The spread is judged first: while it signals, limits of location mean little.
  const order = [...limits.charts.keys()].slice(1).concat(limits.charts.length > 0 ? [0] : []);
  return order.flatMap((at) => {
    const chart = limits.charts[at]!;
    const own = points.charts[at] ?? chart;
    const found: PhaseOneSignal[] = [];
    for (let place = 0; place < chart.values.length; place += 1) {
      const cause = byPlace.get(place) ?? null;
      const side = sideOf(chart, own, place, cause !== null);
      if (side !== null) found.push({ chart: chart.kind, place, side, cause });
    }
    return found;
  });
}

/** On which side of these limits a point lies. Left out, and so perhaps no point here, it has its trial value. */
function sideOf(chart: DrawnChart, trial: DrawnChart, place: number, left: boolean): "above" | "below" | null {
  const value = chart.values.at(place) ?? (left ? trial.values.at(place) : null);
  const lower = chart.lower.at(place);
  const upper = chart.upper.at(place);
  if (value === null || (lower === null && upper === null)) return null;
  const verdict = judge(value, lower ?? Math.min(value, upper!), upper ?? Math.max(value, lower!));
  return verdict === "above" || verdict === "below" ? verdict : null;
}
