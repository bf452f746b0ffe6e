import type { Reading } from "../features/readings.ts";
import { nothing, type Stage } from "../model/stage.ts";
import { figure, span } from "./shown-words.ts";
import type { SinceFinding } from "./stuck.ts";

export interface ClippedPlan {
  /** What the instrument can show; beyond it a 4 to 20 mA loop still goes on for a little. */
  readonly lower: number;
  readonly upper: number;
  readonly loop: boolean;
  readonly step: number;
  readonly unit: string;
}

/** Plain JSON. */
export interface ClippedState {
  readonly end: "lower" | "upper" | null;
  readonly sinceMs: number;
  readonly count: number;
  readonly told: boolean;
}

/** One reading at the end of the range may be a spike; that many in a row are a bound that the value lies beyond. */
const leastAtEnd = 3;
/** Where a loop clips, in shares of its span below 4 and above 20 mA: 3.8 and 20.5 mA. */
const loopBelow = 0.2 / 16;
const loopAbove = 0.5 / 16;

/**
 * Clipped: readings at the end of what the instrument can show are a bound and no value. Whether the process is beyond
 * the range or the instrument fails toward its end, the reading alone cannot say: `undecided`.
 *
 * @shape   good readings in time order
 * @unit    that of the series
 * @method  three or more in a row within half a step of an end, or beyond it; of a 4 to 20 mA loop the ends are at 3.8 and
 *          20.5 mA. A range that the process never fills has no false alarms
 * @cost    O(1) a reading
 * @source  NAMUR NE 43 for loops, borders as public pages print them; three in a row: common practice, no source
 * @checked tests/unit/spc/health/streams.test.ts, tests/reference/spc/health/loop-borders.test.ts
 */
export function clippedWatch(plan: ClippedPlan): Stage<ClippedState, Reading, SinceFinding> {
  const { lower, upper } = clipsAt(plan);
  const slack = plan.step / 2;
  const endOf = (value: number): ClippedState["end"] =>
    value >= upper - slack ? "upper" : value <= lower + slack ? "lower" : null;
  return {
    initial: { end: null, sinceMs: 0, count: 0, told: false },
    step: (state, { tMs, value }) => {
      const end = endOf(value);
      if (end !== state.end) {
        return {
          state: { end, sinceMs: tMs, count: end === null ? 0 : 1, told: false },
          out: state.told ? [back(tMs)] : [],
        };
      }
      if (end === null || state.told) return { state, out: nothing };
      const count = state.count + 1;
      if (count < leastAtEnd) return { state: { ...state, count }, out: [] };
      const { sinceMs } = state;
      const says =
        `stood at the ${end} end of its range, ${figure(end === "upper" ? upper : lower, plan.unit)}, for ${count} readings ` +
        `over ${span(tMs - sinceMs)}: the true value may lie beyond it, or the instrument may have failed toward it`;
      return {
        state: { ...state, count, told: true },
        out: [{ sinceMs, finding: { check: "clipped", verdict: "undecided", says } }],
      };
    },
  };
}

/**
 * Where an instrument clips.
 *
 * @unit   that of the series
 * @method the ends of its range; of a 4 to 20 mA loop the values at 3.8 and 20.5 mA
 * @source NAMUR NE 43, borders as public pages print them
 */
export function clipsAt({ lower, upper, loop }: Pick<ClippedPlan, "lower" | "upper" | "loop">): {
  readonly lower: number;
  readonly upper: number;
} {
  const width = upper - lower;
  return loop ? { lower: lower - loopBelow * width, upper: upper + loopAbove * width } : { lower, upper };
}

function back(tMs: number): SinceFinding {
  return {
    sinceMs: tMs,
    finding: { check: "clipped", verdict: "well", says: "its readings left the end of its range" },
  };
}
