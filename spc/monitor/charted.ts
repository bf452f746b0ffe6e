import type { LiveStage, SubgroupPlace } from "../charts/live-chart.ts";
import type { ChartPair } from "../charts/pair.ts";
import type { Spacing } from "../model/chart.ts";
import type { LimitSet } from "../model/limit-set.ts";
import type { ChartPoint } from "../model/point.ts";
import type { Stage } from "../model/stage.ts";
import { appliedRules } from "../rules/applied-rules.ts";
import type { RuleOn } from "../rules/rule.ts";
import type { RuleHit, RuleState } from "../rules/rule-monitor.ts";
import { ruleMonitor } from "../rules/rule-monitor.ts";

/** One subgroup's place on a chart. */
export interface Place extends SubgroupPlace {
  /** Its last run: what the point is called. */
  readonly run: string;
}

/** What a chart and its rules say of one place. */
export interface Charted {
  readonly point: ChartPoint;
  /** Of the plotted statistic; null without limits. */
  readonly sigma: number | null;
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
  const chart: LiveStage = pair[on](set, spacing);
  const rules = set === null ? null : ruleMonitor(appliedRules(set, on), set[on], spacing);
  return {
    initial: { chart: chart.initial, rules: rules?.initial ?? null },
    step(state, { run, ...place }) {
      const drawn = chart.step(state.chart, place);
      const found = drawn.out[0];
      if (found === undefined) throw new TypeError(`chart ${pair.kinds.join(" and ")} gave no point for its place`);
      const { point } = found;
      if (rules === null || state.rules === null || set === null) {
        return { state: { chart: drawn.state, rules: null }, out: [{ point, sigma: null, hits: [] }] };
      }
      const sigma = found.sigma ?? set[on].sigma;
      const ruled = rules.step(state.rules, { run, atMs: place.atMs, point, sigma });
      return { state: { chart: drawn.state, rules: ruled.state }, out: [{ point, sigma, hits: ruled.out }] };
    },
  };
}
