import { isGap } from "../charts/gap.ts";
import type { PointMember, ShortBy } from "../model/journal-entry.ts";
import type { Refusal } from "../model/outcome.ts";
import type { Stage } from "../model/stage.ts";

/** One run on its way into a subgroup. */
export interface RunValue extends PointMember {
  readonly refusal?: Refusal;
  /** What was set up when it ran, such as its part and tool: no subgroup reaches across a change. */
  readonly setting: string;
}

/** Runs of the subgroup that is not full yet, oldest first. Plain JSON. */
export type Gathering = readonly RunValue[];

export interface Gathered {
  readonly members: readonly RunValue[];
  /** Why it ended before it was full; null for a full one. */
  readonly shortBy: ShortBy | null;
}

/**
 * Rational subgroups: so many consecutive runs, begun anew after a gap and wherever part or tool changes. A run without
 * a value takes its place. What was cut short comes out as it is, when the run after it comes.
 */
export function subgrouper(runs: number, everyMs: number): Stage<Gathering, RunValue, Gathered> {
  return {
    initial: [],
    step(state, run) {
      const last = state.at(-1);
      const shortBy = last === undefined ? null : cutBetween(last, run, everyMs);
      const cut: readonly Gathered[] = shortBy === null ? [] : [{ members: state, shortBy }];
      const members = [...(shortBy === null ? state : []), run];
      if (members.length < runs) return { state: members, out: cut };
      return { state: [], out: [...cut, { members, shortBy: null }] };
    },
  };
}

function cutBetween(last: RunValue, next: RunValue, everyMs: number): ShortBy | null {
  if (last.setting !== next.setting) return "change";
  return isGap(last.atMs, next.atMs, everyMs) ? "gap" : null;
}
