import type { RunSegmenter } from "../model/run.ts";
import { markerSegmenter } from "./marker.ts";
import { stateSignalSegmenter } from "./state-signal.ts";
import { thresholdSegmenter } from "./threshold.ts";

/** What every way of cutting runs needs to know; all in event time. */
export interface CutLimits {
  /** Longest a run may last; then it is closed by `timeout` at that age. */
  readonly timeoutMs: number;
  /** Longest silence of the whole station inside a run; then it is closed by `gap`. Default: a tenth of the timeout. */
  readonly gapMs?: number;
}

export interface StateSignalConfig extends CutLimits {
  readonly by: "state-signal";
  /** Role of the event series that carries the state number. */
  readonly role: string;
  /** State number to segment name; a state without a name belongs to the run and to no segment. */
  readonly states: Readonly<Record<string, string>>;
  readonly opensAt: number;
  /** The state that ends the run: it is not part of it. */
  readonly closesAt: number;
}

export interface ThresholdConfig extends CutLimits {
  readonly by: "threshold";
  readonly role: string;
  readonly opensAbove: number;
  readonly closesBelow: number;
  /** How long the value must stay beyond before the run opens or closes. */
  readonly holdMs: number;
}

export interface MarkerConfig extends CutLimits {
  readonly by: "marker";
  /** Role of an event series: 1 opens, 0 closes. */
  readonly role: string;
}

export type SegmenterConfig = StateSignalConfig | ThresholdConfig | MarkerConfig;

/**
 * Segmenter of a station: cuts its samples into runs in the way its settings name.
 *
 * @shape   samples of one station under their roles, in time order; state is plain JSON
 * @unit    ms since the epoch, source time
 * @method  one of `state-signal`, `threshold`, `marker`
 * @throws  RangeError for a configuration that cannot cut: a defect, since settings are checked before
 * @source  derived here
 * @checked tests/property/spc/segment/segmenters.test.ts
 */
export function segmenterOf(station: string, config: SegmenterConfig): RunSegmenter<unknown> {
  switch (config.by) {
    case "state-signal":
      return stateSignalSegmenter(station, config) as RunSegmenter<unknown>;
    case "threshold":
      return thresholdSegmenter(station, config) as RunSegmenter<unknown>;
    case "marker":
      return markerSegmenter(station, config) as RunSegmenter<unknown>;
  }
}
