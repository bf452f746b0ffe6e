import { cut, type Emission, type Happening, remembering, type Station, type Track, type Values } from "./emission.ts";
import { type Cycle, cycleOf, cyclesBetween, type Schedule } from "./schedule.ts";

/** What one run of a station gives. */
export interface Piece {
  readonly tracks: readonly Track[];
  readonly happenings: readonly Happening[];
}

/**
 * A station that gives something for each run of a schedule, and perhaps what never stops. `reachMs`: how long after its
 * start a run may still give something, where that is longer than until the next one begins; `aheadMs`: how long before.
 */
export function cyclicStation(
  id: string,
  schedule: Schedule,
  piece: (cycle: Cycle) => Piece,
  always: ((fromMs: number, toMs: number) => Values[]) | null = null,
  reachMs = 0,
  aheadMs = 0,
): Station {
  const kept = 4 + Math.ceil(reachMs / schedule.periodMs);
  const pieceOf = remembering((number) => piece(cycleOf(schedule, number)), kept);
  return {
    id,
    emissions: (fromMs, toMs) => {
      const out: Emission[] = always === null ? [] : always(fromMs, toMs);
      for (const { number } of cyclesBetween(schedule, fromMs - reachMs, toMs + aheadMs)) {
        const { tracks, happenings } = pieceOf(number);
        for (const track of tracks) out.push(...cut(track, fromMs, toMs));
        for (const one of happenings) if (fromMs <= one.tMs && one.tMs < toMs) out.push(one);
      }
      return out;
    },
  };
}
