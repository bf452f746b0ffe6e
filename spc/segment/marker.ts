import type { RunSegmenter } from "../model/run.ts";
import type { MarkerConfig } from "./segmenter.ts";
import { type StateSignalState, stateSignalSegmenter } from "./state-signal.ts";

/**
 * Runs from a marker: 1 opens, 0 closes, and the run has no named segments.
 *
 * @shape   samples of one station under their roles, in time order
 * @unit    ms since the epoch, source time
 * @method  a state signal of two states: a 1 repeated is harmless unless it tells of another batch
 * @throws  RangeError for limits that are not positive
 * @cost    O(1) a sample
 * @source  derived here
 * @checked tests/unit/spc/segment/marker.test.ts, tests/property/spc/segment/segmenters.test.ts
 */
export function markerSegmenter(station: string, config: MarkerConfig): RunSegmenter<StateSignalState> {
  return stateSignalSegmenter(station, { ...config, by: "state-signal", states: {}, opensAt: 1, closesAt: 0 });
}
