import type { Reading } from "../features/readings.ts";
import type { Stage } from "../model/stage.ts";
import { chanceAllEqual } from "./equal-readings.ts";
import { figure } from "./shown-words.ts";
import type { SinceFinding } from "./stuck.ts";

export interface RepeatedPlan {
  /** Sigma of what is measured from one taking to the next. */
  readonly spread: number;
  /** Smallest step that is written down. */
  readonly step: number;
  readonly unit: string;
}

/** Plain JSON. */
export interface RepeatedState {
  readonly value: number | null;
  readonly sinceMs: number;
  readonly equal: number;
}

/** So many equal values in a row are looked at. */
const leastEqual = 4;
/** Below this chance, for the row as a whole, chance is no answer: once in 5,000 takings. */
const chanceOfRow = 2e-4;

/**
 * Repeated readings: a person who writes the last value again, or a scale that sticks. Coarse values repeat by chance, so
 * the chance of the row is reckoned and told.
 *
 * @shape   values that people take or scales weigh, one after another, in time order
 * @unit    that of the series
 * @method  four or more equal ones: `fault` where `chanceAllEqual` of the row is below 2e-4, which is its false-alarm rate a
 *          taking, else `undecided`. The first that differs says `well`
 * @cost    O(spread / step) a repeat
 * @source  derived here; four in a row: common practice, no source
 * @checked tests/unit/spc/health/repeated.test.ts, tests/property/spc/health/streams.test.ts
 */
export function repeatedWatch({ spread, step, unit }: RepeatedPlan): Stage<RepeatedState, Reading, SinceFinding> {
  const check = "repeated";
  return {
    initial: { value: null, sinceMs: 0, equal: 0 },
    step: (state, { tMs, value }) => {
      if (value !== state.value) {
        const says = "the values differ again";
        const told = state.equal >= leastEqual;
        return {
          state: { value, sinceMs: tMs, equal: 1 },
          out: told ? [{ sinceMs: tMs, finding: { check, verdict: "well", says } }] : [],
        };
      }
      const equal = state.equal + 1;
      const next = { ...state, equal };
      if (equal < leastEqual) return { state: next, out: [] };
      const chance = chanceAllEqual(spread, step, equal);
      // Said at four, and once more where chance falls below its mark.
      const turns = chance < chanceOfRow && chanceAllEqual(spread, step, equal - 1) >= chanceOfRow;
      if (equal > leastEqual && !turns) return { state: next, out: [] };
      const says =
        `${figure(value, unit)} stands ${equal} times in a row; chance writes such a row once in ` +
        `${Math.round(1 / Math.max(chance, 1e-12))} takings`;
      const verdict = chance < chanceOfRow ? "fault" : "undecided";
      return { state: next, out: [{ sinceMs: state.sinceMs, finding: { check, verdict, says } }] };
    },
  };
}
