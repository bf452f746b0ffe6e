import type { Reading } from "../features/readings.ts";
import { nothing, type Stage } from "../model/stage.ts";
import { equalReadingsNeeded } from "./equal-readings.ts";
import type { HealthFinding } from "./finding.ts";
import { difference, figure, span } from "./shown-words.ts";

export interface StuckPlan {
  /** Sigma of single readings while the process rests: what a living instrument shows at the least. */
  readonly noise: number;
  /** Smallest step of the instrument; 0 where it is not known. */
  readonly step: number;
  readonly everyMs: number;
  readonly unit: string;
}

/** Plain JSON. */
export interface StuckState {
  readonly value: number | null;
  readonly sinceMs: number;
  readonly equal: number;
  /** The fault has been said. */
  readonly told: boolean;
}

/** A finding with the time from which on it holds. */
export interface SinceFinding {
  readonly sinceMs: number;
  readonly finding: HealthFinding;
}

/** How often chance alone may call a healthy instrument stuck: once in a million days, each for itself. */
export const stuckChancePerDay = 1e-6;
/** Whatever the noise: fewer readings, or a shorter time, is a gateway that hands the last value on. Common practice, no source. */
const leastEqual = 10;
const leastMs = 5_000;
const dayMs = 86_400_000;

/**
 * Stuck: the same value again and again where the instrument's own noise would not leave it so. Says `fault` once, when
 * there are enough, and `well` with the first reading that differs; between those nothing.
 *
 * @shape   good readings in time order
 * @unit    that of the series
 * @method  equal readings in a row, at least `equalReadingsNeeded` for a day of readings at `stuckChancePerDay`, never
 *          fewer than 10 nor over less than 5 s
 * @cost    O(1) a reading
 * @source  derived here; 10 readings and 5 s are common practice, no source
 * @checked tests/unit/spc/health/stuck.test.ts, tests/property/spc/health/streams.test.ts
 */
export function stuckWatch(plan: StuckPlan): Stage<StuckState, Reading, SinceFinding> {
  const { noise, unit } = plan;
  const needed = stuckAfter(plan);
  return {
    initial: { value: null, sinceMs: 0, equal: 0, told: false },
    step: (state, { tMs, value }) => {
      if (value !== state.value) {
        return { state: { value, sinceMs: tMs, equal: 1, told: false }, out: state.told ? [moves(tMs)] : nothing };
      }
      const equal = state.equal + 1;
      const { sinceMs } = state;
      if (state.told || equal < needed || tMs - sinceMs < leastMs) {
        return { state: { value, sinceMs, equal, told: state.told }, out: nothing };
      }
      const says =
        `read ${figure(value, unit)} ${equal} times in a row over ${span(tMs - sinceMs)}; its noise of ` +
        `${difference(noise, unit)} leaves that to chance less than once in a million days`;
      return {
        state: { ...state, equal, told: true },
        out: [{ sinceMs, finding: { check: "stuck", verdict: "fault", says } }],
      };
    },
  };
}

/**
 * Equal readings in a row after which an instrument counts as stuck.
 *
 * @unit   1: a count; Infinity where its step hides its noise
 * @method as `stuckWatch`
 * @source derived here
 */
export function stuckAfter({ noise, step, everyMs }: StuckPlan): number {
  return Math.max(leastEqual, equalReadingsNeeded(noise, step, Math.max(1, dayMs / everyMs), stuckChancePerDay));
}

function moves(tMs: number): SinceFinding {
  return { sinceMs: tMs, finding: { check: "stuck", verdict: "well", says: "its readings move again" } };
}
