import type { Stage } from "../model/stage.ts";
import type { RuleHit } from "./rule-monitor.ts";
import type { PatternSide } from "./rule-pattern.ts";

/** What one point did on one chart. */
export interface RuledPoint {
  readonly run: string;
  /** Whether it could be judged; what could not neither extends an event nor ends one. */
  readonly evaluable: boolean;
  readonly hits: readonly RuleHit[];
}

/** One pattern from its first completing point to its last. */
export interface RuleEvent {
  readonly rule: string;
  readonly side: PatternSide;
  /** Runs of the first completing point and of the newest one. */
  readonly from: string;
  readonly to: string;
  /** Completing points so far. */
  readonly points: number;
}

export interface RuleEventChange {
  readonly kind: "opened" | "extended" | "closed";
  readonly event: RuleEvent;
}

/**
 * Rule events: completing points of one rule in a row as one event, so that a pattern that goes on is told once.
 *
 * @shape   points of one chart in time order with what their rules say
 * @unit    counts of points
 * @method  one open event a rule and side, extended while the pattern keeps completing, closed by the first point that
 *          can be judged and does not complete it
 * @cost    O(open events) a point
 * @source  common practice, no source
 * @checked tests/unit/spc/rules/rule-events.test.ts
 */
export function ruleEvents(): Stage<readonly RuleEvent[], RuledPoint, RuleEventChange> {
  return {
    initial: [],
    step(open, { run, evaluable, hits }) {
      if (!evaluable) return { state: open, out: [] };
      const now = hits.map(({ rule, side }): RuleEventChange => {
        const before = open.find((event) => event.rule === rule && event.side === side);
        return before === undefined
          ? { kind: "opened", event: { rule, side, from: run, to: run, points: 1 } }
          : { kind: "extended", event: { ...before, to: run, points: before.points + 1 } };
      });
      const state = now.map(({ event }) => event);
      const closed = open
        .filter((old) => !state.some((event) => event.rule === old.rule && event.side === old.side))
        .map((event): RuleEventChange => ({ kind: "closed", event }));
      return { state, out: [...now, ...closed] };
    },
  };
}
