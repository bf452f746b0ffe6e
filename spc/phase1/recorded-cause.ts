import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";

/** Why a point is no part of what the process does when left alone. Nothing is left out without one. */
export interface RecordedCause {
  /** Plotted place, from 0. */
  readonly place: number;
  readonly cause: string;
  readonly who: string;
  /** When it was found, as whoever records it writes times. */
  readonly when: string;
  readonly evidence: string;
  /** What was done so that it does not come back. */
  readonly action: string;
}

const PARTS = ["cause", "who", "when", "evidence", "action"] as const;

/**
 * Complete causes: whether every cause says what, who, when, on what evidence, and what was done.
 *
 * @shape   causes with the places they explain; `length`: how many places there are
 * @unit    none
 * @method  no part may be blank
 * @refuses cause-incomplete, naming the place and the part
 * @throws  RangeError for a place that does not exist or is named twice: a defect in the caller
 * @cost    O(causes)
 * @source  ISO 7870-2:2023 (from memory): exclusion only with an assigned cause; the five parts: common practice, no
 *          source
 * @checked tests/unit/spc/phase1/phase-one.test.ts
 */
export function completeCauses(causes: readonly RecordedCause[], length: number): Outcome<readonly RecordedCause[]> {
  const places = new Set<number>();
  for (const recorded of causes) {
    const { place } = recorded;
    if (!(Number.isInteger(place) && place >= 0 && place < length)) {
      throw new RangeError(`a cause is recorded for place ${place}, there are ${length}`);
    }
    if (places.has(place)) throw new RangeError(`two causes are recorded for place ${place}`);
    places.add(place);
    const blank = PARTS.find((part) => recorded[part].trim() === "");
    if (blank !== undefined) {
      return refuse("cause-incomplete", `the cause recorded for place ${place} does not say its ${blank}`);
    }
  }
  return ok(causes);
}
