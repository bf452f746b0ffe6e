import type { Continuity } from "../charts/gap.ts";
import { nextContinuity, unbroken } from "../charts/gap.ts";
import type { Limits, Spacing } from "../model/chart.ts";
import type { ChartPoint } from "../model/point.ts";
import type { Side } from "../model/signal.ts";
import type { Stage } from "../model/stage.ts";
import type { Rule, WindowRule } from "./rule.ts";
import type { WindowEntry } from "./rule-window.ts";
import { hitSide, nextWindow } from "./rule-window.ts";

/** A judged point as the rules see it. */
export interface RulePoint {
  readonly run: string;
  readonly atMs: number;
  readonly point: ChartPoint;
}

/** A rule whose pattern this point completes. */
export interface RuleHit {
  readonly rule: string;
  readonly side: Side;
  /** Runs of the pattern, oldest first. */
  readonly members: readonly string[];
  /** The limit that was crossed, or the line that the pattern was counted from. */
  readonly line: number;
}

export interface RuleState {
  readonly continuity: Continuity;
  readonly windows: Readonly<Record<string, readonly WindowEntry[]>>;
}

/**
 * Rule monitor: which rules a chart's newest point completes.
 *
 * @shape   judged points of one chart in time order, under one set of limits
 * @unit    lines that of the characteristic
 * @method  every completing point hits again: a run of eleven completes nine-on-one-side at 9, 10 and 11. A point that
 *          cannot be judged is no hit and breaks nothing, up to three expected intervals; beyond, patterns start anew
 * @cost    O(rules) a point; remembers at most the longest window
 * @source  Nelson 1984, Journal of Quality Technology 16:237-239 (from memory); treatment of gaps: common practice, no source
 * @checked tests/reference/spc/rules/rule-monitor.test.ts
 */
export function ruleMonitor(
  rules: readonly Rule[],
  limits: Limits,
  spacing: Spacing,
): Stage<RuleState, RulePoint, RuleHit> {
  const initial: RuleState = { continuity: unbroken, windows: {} };
  return {
    initial,
    step(state, input) {
      const { value, verdict } = input.point;
      const evaluable = value !== null && verdict !== "not-evaluable";
      const { continuity, anew } = nextContinuity(state.continuity, input.atMs, evaluable, spacing.everyMs);
      const before = anew ? {} : state.windows;
      if (!evaluable) return { state: { continuity, windows: before }, out: [] };

      const windows: Record<string, readonly WindowEntry[]> = {};
      const out: RuleHit[] = [];
      for (const rule of rules) {
        if (rule.kind === "limit") {
          if (verdict === "within") continue;
          const line = verdict === "above" ? limits.upper : limits.lower;
          out.push({ rule: rule.id, side: verdict, members: [input.run], line });
          continue;
        }
        const side = hitSide(rule, value, limits);
        const next = nextWindow(rule, before[rule.id] ?? [], { run: input.run, side });
        if (next.window.length > 0) windows[rule.id] = next.window;
        if (next.members === null) continue;
        const line = patternLine(rule, side, limits);
        out.push({ rule: rule.id, side: side > 0 ? "above" : "below", members: next.members, line });
      }
      return { state: { continuity, windows }, out };
    },
  };
}

function patternLine(rule: WindowRule, side: number, limits: Limits): number {
  return limits.centre + side * rule.beyond * limits.sigma;
}
