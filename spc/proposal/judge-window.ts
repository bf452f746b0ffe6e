import type { DrawnChart, DrawnCharts } from "../model/drawn-chart.ts";
import { verdictAt } from "../model/drawn-chart.ts";
import type { LimitSet } from "../model/limit-set.ts";
import type { ChartPoint } from "../model/point.ts";
import { judge } from "../model/point.ts";
import { appliedRules } from "../rules/applied-rules.ts";
import type { RuleOn } from "../rules/rule.ts";
import type { RuleId } from "../rules/rule-ids.ts";
import { ruleIds } from "../rules/rule-ids.ts";
import type { SignalColumn } from "../rules/signal-column.ts";
import { signalsOf } from "../rules/signals-of.ts";
import type { WindowPlace } from "./chart-window.ts";

/** A pattern that a point completes. */
export interface WindowPattern {
  readonly rule: string;
  readonly on: RuleOn;
  readonly side: "above" | "below" | "both";
  /** Runs, oldest first. */
  readonly members: readonly string[];
}

/** A run's point on both charts, as one choice of limits judges it. */
export interface JudgedPoint {
  readonly location: ChartPoint;
  readonly spread: ChartPoint;
  readonly signals: readonly WindowPattern[];
}

/**
 * Every point of a window against one choice of limits. A run left out is judged by its trial value, and completes no
 * pattern but its own limit. Without limits nothing is judged: `limited` false.
 */
export function judgeWindow(
  runs: readonly WindowPlace[],
  limits: DrawnCharts,
  trial: DrawnCharts,
  set: Pick<LimitSet, "rules" | "basis">,
  limited: boolean,
  out: ReadonlySet<number>,
): readonly JudgedPoint[] {
  const sides = (["location", "spread"] as const).map((on, at): Side => {
    const chart = limits.charts[at]!;
    const rules = rulesOn(set, on);
    return { on, chart, own: trial.charts[at]!, rules, signals: signalsOf(chart, rules) };
  });
  return runs.map((_, place) => {
    const left = out.has(place);
    const [location, spread] = sides.map((side) => pointAt(side, place, left, limited));
    const signals = limited ? sides.flatMap((side) => patternsAt(side, place, left, runs)) : [];
    return { location: location!, spread: spread!, signals };
  });
}

function rulesOn(set: Pick<LimitSet, "rules" | "basis">, on: RuleOn): readonly RuleId[] {
  const applied = appliedRules(set, on).map(({ id }) => id);
  return ruleIds.filter((rule) => applied.includes(rule));
}

interface Side {
  readonly on: RuleOn;
  readonly chart: DrawnChart;
  /** The chart with nothing left out: values of the runs that are. */
  readonly own: DrawnChart;
  readonly rules: readonly RuleId[];
  readonly signals: SignalColumn;
}

function patternsAt(side: Side, place: number, left: boolean, runs: readonly WindowPlace[]): WindowPattern[] {
  const { on, signals, rules } = side;
  if (left) {
    const { verdict } = pointAt(side, place, left, true);
    const beyond = rules.includes("beyond-limit") && (verdict === "above" || verdict === "below");
    return beyond ? [{ rule: "beyond-limit", on, side: verdict, members: [runs[place]!.run] }] : [];
  }
  return signals.at(place).map(({ rule, side: lies, members }) => {
    return { rule, on, side: lies, members: members.map((member) => runs[member]!.run) };
  });
}

function pointAt({ chart, own }: Side, place: number, left: boolean, limited: boolean): ChartPoint {
  const value = left ? own.values.at(place) : chart.values.at(place);
  if (!limited || chart.refusal !== null) {
    return { subgroup: place, value, centre: null, lower: null, upper: null, verdict: "not-evaluable" };
  }
  const [centre, lower, upper] = [chart.centres.at(place), chart.lower.at(place), chart.upper.at(place)];
  if (!left) return { subgroup: place, value, centre, lower, upper, verdict: verdictAt(chart, place) };
  const judged = value !== null && lower !== null && upper !== null ? judge(value, lower, upper) : "not-evaluable";
  return { subgroup: place, value, centre, lower, upper, verdict: judged };
}
