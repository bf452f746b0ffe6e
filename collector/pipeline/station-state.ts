import type { RunInside, Segment } from "../../spc/model/run.ts";
import type { MonitorState } from "../../spc/monitor/monitor-state.ts";
import type { InstrumentStates } from "./instrument-fold.ts";

/** Where a station stands: its checkpoint. Plain JSON. */
export interface StationState {
  /** Samples before this source time are cut; null before the first slice. */
  readonly cursorMs: number | null;
  /** Of the first kind of run. */
  readonly segmenter: unknown;
  /** Start of the oldest run of the first kind that is open, if any. */
  readonly openSinceMs: number | null;
  /** End of the last run of the first kind. */
  readonly lastEndMs: number | null;
  /** Way of cutting that `segmenter` is the memory of; checkpoints from before there was a choice lack it. */
  readonly cutBy?: string;
  /** Of further kinds of run, by their id. */
  readonly more?: Readonly<Record<string, MoreState>>;
  /** What is set up: it holds for runs that begin later. */
  readonly held?: Words;
  /** By word, since when events say so. */
  readonly heldSince?: Since;
  /** Runs that are open, of all kinds, with what held when they began. */
  readonly open?: readonly OpenRun[];
  /** Runs of the first kind inside an open one of a further kind, with what they gave. */
  readonly inside?: readonly RunInside[];
  readonly characteristics: Readonly<Record<string, CharacteristicState>>;
  /** By role; checkpoints from before instruments were watched lack it. */
  readonly instruments?: InstrumentStates;
}

type Since = Readonly<Record<string, number>>;
type Words = Readonly<Record<string, string>>;

export interface MoreState {
  readonly cutBy: string;
  readonly segmenter: unknown;
  /** Runs of the first kind that ended lately: those inside the run become its segments. */
  readonly inside: readonly Segment[];
}

export interface OpenRun {
  readonly id: string;
  readonly kind: string | null;
  readonly startMs: number;
  readonly held: Words;
  readonly heldSince?: Since;
}

export interface CharacteristicState {
  readonly monitor: MonitorState;
  /** Run of its last point. */
  readonly lastRun: string | null;
  /** How many decisions have taken effect on it. */
  readonly applied: number;
}

export function checkpointName(station: string): string {
  return `station/${station}`;
}
