import type { RuleId } from "./rule-ids.ts";

/** A pattern that a point completes. */
export interface PatternSignal {
  readonly rule: RuleId;
  /** `both` where the pattern has no side: alternating, within one sigma, outside one sigma. */
  readonly side: "above" | "below" | "both";
  /** Places of the pattern's points, oldest first; the newest is the point itself. */
  readonly members: readonly number[];
}

/** What the rules say of each place of a chart. */
export interface SignalColumn {
  readonly length: number;
  /** Whether any rule fires at a place; cheap. */
  any(place: number): boolean;
  at(place: number): readonly PatternSignal[];
}
