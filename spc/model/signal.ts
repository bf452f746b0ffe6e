export type Side = "above" | "below";

/** Which statistic fired: the pair's upper chart, its lower chart, or the specification. */
export type SignalOn = "location" | "spread" | "specification";

/** A rule that fired, once and for good. Its id follows from its parts, so a replay cannot raise it twice. */
export interface Signal {
  /** `${limitSet or characteristic}/${run}/${on}/${rule}/${side}` */
  readonly id: string;
  readonly characteristic: string;
  readonly station: string;
  readonly run: string;
  readonly rule: string;
  readonly side: Side;
  readonly on: SignalOn;
  /** Limit set that ruled; null for a signal against the specification. */
  readonly limitSet: string | null;
  /** Runs of the pattern, oldest first; the newest is `run`. */
  readonly members: readonly string[];
  readonly value: number;
  /** The line that was crossed, or the centre a run rule counted from. */
  readonly line: number;
  /** Distance from the centre in sigma of the statistic; null for the specification. */
  readonly z: number | null;
  readonly atMs: number;
  /** The flag that this signal opened or joined. */
  readonly flag: string;
  readonly label: FlagLabel;
  readonly doFirst: string | null;
  /** What is wrong, in words: from the settings, else from the rule. */
  readonly says: string;
  /** The flag on the same characteristic that was done at most 20 runs before this one opened; else left out. */
  readonly cameBackFrom?: string;
}

export type FlagLabel = "act-now" | "look" | "for-review" | "instrument-fault";

/** Most urgent first: a joining signal may raise a flag's label, never lower it. */
export const labelOrder: readonly FlagLabel[] = ["act-now", "look", "instrument-fault", "for-review"];

/** What the settings say of one rule on one side: the label it deserves and what to do first. */
export interface SignalPolicy {
  readonly rule: string;
  readonly side?: Side;
  readonly on?: SignalOn;
  readonly label: FlagLabel;
  /** At most 80 characters. Without it nothing stands above `for-review`. */
  readonly doFirst?: string;
  /** What is wrong, in words: `metal too cold`. */
  readonly says?: string;
}
