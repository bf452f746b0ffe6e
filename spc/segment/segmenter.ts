import type { RunSegmenter } from "../model/run.ts";
import { changeSegmenter } from "./change.ts";
import { clockSegmenter } from "./clock.ts";
import type { ZoneOffsets } from "./clock-slot.ts";
import { itemsSegmenter } from "./items.ts";
import { markerSegmenter } from "./marker.ts";
import { sequenceSegmenter } from "./sequence.ts";
import { stateSignalSegmenter } from "./state-signal.ts";
import type { ShiftClock } from "./station-context.ts";
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

export interface ClockConfig {
  readonly by: "clock";
  /** Where runs begin and end, in ms of the local day, ascending. */
  readonly edges: readonly number[];
  /** Of the site's zone, for as long as readings may come from. */
  readonly offsets: ZoneOffsets;
  /** Where not every shift begins every day: between shifts that work nothing runs. */
  readonly shifts?: ShiftClock["shifts"];
  readonly freeDays?: ShiftClock["freeDays"];
}

export interface ChangeConfig extends CutLimits {
  readonly by: "change";
  /** Role of an event series. */
  readonly role: string;
  /** Attribute that names what runs: `lot`, `ladle`. */
  readonly key: string;
  /** The state that ends the run at once, if any does. */
  readonly closesAt?: number;
  /** So long after its last event a run has ended there; left out, it lasts until the next one begins. */
  readonly idleMs?: number;
}

export interface ItemsConfig extends CutLimits {
  readonly by: "items";
  /** Role of an event series. */
  readonly role: string;
  /** Attribute that tells items apart: `flask`, `fill`. */
  readonly key: string;
  /** Brings an item in; 1 unless said. */
  readonly opensAt?: number;
  /** Takes it out; 0 unless said. */
  readonly closesAt?: number;
  /** Most items there at once. */
  readonly most?: number;
}

/** A level that a value passes: one of `above` and `below`. */
export interface LevelStep {
  readonly above?: number;
  readonly below?: number;
  /** Where the step begins once the level has proved it; left out, at the level. */
  readonly from?: number;
  /** How long the value must stay beyond the level; 0 unless said. */
  readonly holdMs?: number;
}

export interface SequenceConfig extends CutLimits {
  readonly by: "sequence";
  /** Role of a reading. */
  readonly role: string;
  /** In the order in which they come; one without a name belongs to the run and to no segment. */
  readonly steps: readonly (LevelStep & { readonly name: string | null })[];
  readonly ends: LevelStep;
}

export type SegmenterConfig =
  | StateSignalConfig
  | ThresholdConfig
  | MarkerConfig
  | ClockConfig
  | ChangeConfig
  | ItemsConfig
  | SequenceConfig;

/**
 * Segmenter of a station: cuts its samples into runs in the way its settings name.
 *
 * @shape   samples of one station under their roles, in time order; state is plain JSON
 * @unit    ms since the epoch, source time
 * @method  one of `state-signal`, `threshold`, `marker`, `clock`, `change`, `items`, `sequence`
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
    case "clock":
      return clockSegmenter(station, config) as RunSegmenter<unknown>;
    case "change":
      return changeSegmenter(station, config) as RunSegmenter<unknown>;
    case "items":
      return itemsSegmenter(station, config) as RunSegmenter<unknown>;
    case "sequence":
      return sequenceSegmenter(station, config) as RunSegmenter<unknown>;
  }
}
