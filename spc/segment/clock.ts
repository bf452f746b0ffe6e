import type { RunEvent, RunSegmenter } from "../model/run.ts";
import { checkedEdges, type Slot, slotAt } from "./clock-slot.ts";
import { closed, opened } from "./open-run.ts";
import type { ClockConfig } from "./segmenter.ts";
import { shiftAt } from "./working-time.ts";

export interface ClockState {
  /** Newest sample of the station, of any role. */
  readonly lastMs: number | null;
  /** The stretch of the clock that it lies in; null in free time. */
  readonly slot: Slot | null;
}

/**
 * Runs cut by the site's clock, for what flows without a beginning of its own: hours of a shift.
 *
 * A run is as long as its stretch of the clock, whenever its first and last sample came: what is missing of it is for
 * the features to judge. A stretch without any sample is no run, nor is one in which no shift works. Events tell nothing of it, since each is of one moment.
 *
 * @shape   samples of one station under their roles, in time order; one older than its predecessor is left out
 * @unit    ms since the epoch, source time; edges in ms of the local day
 * @method  the first sample of a stretch opens the run, the first one beyond it closes it
 * @throws  RangeError for edges or offsets that are none
 * @cost    O(1) a sample, O(edges) a run
 * @source  derived here
 * @checked tests/unit/spc/segment/clock.test.ts, tests/property/spc/segment/segmenters.test.ts
 */
export function clockSegmenter(
  station: string,
  { edges, offsets, shifts, freeDays = [] }: ClockConfig,
): RunSegmenter<ClockState> {
  checkedEdges(edges, offsets);
  return {
    initial: { lastMs: null, slot: null },
    step(state, { tMs }) {
      if (state.lastMs !== null && tMs < state.lastMs) return { state, out: [] };
      const before = state.slot;
      if (before !== null && tMs < before.endMs) return { state: { ...state, lastMs: tMs }, out: [] };
      const out: RunEvent[] = [];
      if (before !== null) {
        const run = { startMs: before.startMs, segments: [], segment: null, context: {} };
        out.push(...closed(station, run, before.endMs, "end-condition"));
      }
      const slot = slotAt(tMs, edges, offsets);
      if (shifts !== undefined && shiftAt(slot.startMs, { shifts, offsets, freeDays }) === null) {
        return { state: { lastMs: tMs, slot: null }, out };
      }
      out.push(opened(station, slot.startMs));
      return { state: { lastMs: tMs, slot }, out };
    },
  };
}
