import type { Continuity } from "../charts/gap.ts";
import { nextContinuity, unbroken } from "../charts/gap.ts";
import type { Limits, Spacing } from "../model/chart.ts";
import type { ChartPoint } from "../model/point.ts";
import type { Stage } from "../model/stage.ts";
import type { Rule } from "./rule.ts";
import type { PatternSide } from "./rule-pattern.ts";
import { nextPattern } from "./rule-pattern.ts";
import type { LinedValue, WindowEntry } from "./rule-window.ts";

/** A judged point as the rules see it. */
export interface RulePoint {
  readonly run: string;
  readonly atMs: number;
  readonly point: ChartPoint;
  /** Sigma of this point where subgroups are of unequal size; else that of the limits. */
  readonly sigma?: number;
  /** A cause was found and corrected since the point before. */
  readonly corrected?: boolean;
}

/**
 * Whether patterns start anew once a cause was corrected. Where flags are opened they do: a rule then needs new points.
 * Where limits are sought nothing is corrected, and every completing point is marked.
 */
export type RestartPolicy = "after-correction" | "never";

/** A rule whose pattern this point completes. */
export interface RuleHit {
  readonly rule: string;
  readonly side: PatternSide;
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
 * @source  Nelson 1984, Journal of Quality Technology 16:237-239 (from memory); treatment of gaps and restart: common
 *          practice, no source
 * @checked tests/reference/spc/rules/rule-monitor.test.ts
 */
export function ruleMonitor(
  rules: readonly Rule[],
  limits: Limits,
  spacing: Spacing,
  restart: RestartPolicy = "after-correction",
): Stage<RuleState, RulePoint, RuleHit> {
  const initial: RuleState = { continuity: unbroken, windows: {} };
  return {
    initial,
    step(state, input) {
      const at = linedValue(input, limits);
      const { continuity, anew } = nextContinuity(state.continuity, input.atMs, at !== null, spacing.everyMs);
      const restarted = restart === "after-correction" && input.corrected === true;
      const before = anew || restarted ? {} : state.windows;

      const windows: Record<string, readonly WindowEntry[]> = {};
      const out: RuleHit[] = [];
      for (const rule of rules) {
        if (rule.kind === "limit") {
          const hit = beyondLimit(rule.id, input, limits);
          if (hit !== null) out.push(hit);
          continue;
        }
        const memory = before[rule.id] ?? [];
        const next = at === null ? null : nextPattern(rule, memory, input.run, at);
        const window = next?.window ?? memory;
        if (window.length > 0) windows[rule.id] = window;
        if (next === null || at === null || next.members === null) continue;
        const away = rule.kind === "window" ? (next.side === "above" ? rule.beyond : -rule.beyond) : 0;
        out.push({ rule: rule.id, side: next.side, members: next.members, line: at.centre + away * at.sigma });
      }
      return { state: { continuity, windows }, out };
    },
  };
}

/** The value beside its own lines; null where there is none, or no lines that a pattern could be counted from. */
function linedValue({ point, sigma: own }: RulePoint, limits: Limits): LinedValue | null {
  const { value, verdict } = point;
  if (value === null || verdict === "not-evaluable") return null;
  const centre = point.centre ?? limits.centre;
  const sigma = own ?? limits.sigma;
  if (!(Number.isFinite(centre) && Number.isFinite(sigma) && sigma > 0)) return null;
  // What is remembered goes through JSON, which has no minus zero.
  return { value: value === 0 ? 0 : value, centre: centre === 0 ? 0 : centre, sigma };
}

function beyondLimit(rule: string, { run, point }: RulePoint, limits: Limits): RuleHit | null {
  const { verdict } = point;
  if (verdict !== "above" && verdict !== "below") return null;
  const line = verdict === "above" ? (point.upper ?? limits.upper) : (point.lower ?? limits.lower);
  return { rule, side: verdict, members: [run], line };
}
