import type { ChartPair } from "../charts/pair.ts";
import type { Spacing } from "../model/chart.ts";
import type { LimitSet } from "../model/limit-set.ts";
import type { ChartPoint } from "../model/point.ts";
import type { Stage } from "../model/stage.ts";
import { appliedRules } from "../rules/applied-rules.ts";
import type { RuleOn } from "../rules/rule.ts";
import type { RuleHit, RuleState } from "../rules/rule-monitor.ts";
import { ruleMonitor } from "../rules/rule-monitor.ts";

/** One run's place on a chart. */
export interface Place {
  readonly subgroup: number;
  readonly atMs: number;
  readonly run: string;
  readonly value: number | null;
}

/** What a chart and its rules say of one place. */
export interface Charted {
  readonly point: ChartPoint;
  readonly hits: readonly RuleHit[];
}

export interface ChartedState {
  readonly chart: unknown;
  /** Null without limits: nothing is judged then. */
  readonly rules: RuleState | null;
}

/** One chart of a pair with its rules, under one limit set or none. Its memory belongs to that set. */
export function charted(
  pair: ChartPair,
  on: RuleOn,
  set: LimitSet | null,
  spacing: Spacing,
): Stage<ChartedState, Place, Charted> {
  const chart = pair[on].monitor(set?.[on] ?? null, spacing);
  const rules = set === null ? null : ruleMonitor(appliedRules(set, on), set[on], spacing);
  return {
    initial: { chart: chart.initial, rules: rules?.initial ?? null },
    step(state, { subgroup, atMs, run, value }) {
      const statistic = value === null ? null : pair[on].statistic([value]);
      const drawn = chart.step(state.chart, { subgroup, atMs, value: statistic });
      const point = drawn.out[0];
      if (point === undefined) throw new TypeError(`chart ${pair[on].kind} gave no point for its place`);
      if (rules === null || state.rules === null) {
        return { state: { chart: drawn.state, rules: null }, out: [{ point, hits: [] }] };
      }
      const ruled = rules.step(state.rules, { run, atMs, point });
      return { state: { chart: drawn.state, rules: ruled.state }, out: [{ point, hits: ruled.out }] };
    },
  };
}
