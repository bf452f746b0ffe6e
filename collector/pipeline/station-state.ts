import type { MonitorState } from "../../spc/monitor/monitor-state.ts";

/** Where a station stands: its checkpoint. Plain JSON. */
export interface StationState {
  /** Samples before this source time are cut; null before the first slice. */
  readonly cursorMs: number | null;
  readonly segmenter: unknown;
  /** Start of the run that is open, if any. */
  readonly openSinceMs: number | null;
  /** End of the last run closed. */
  readonly lastEndMs: number | null;
  readonly characteristics: Readonly<Record<string, CharacteristicState>>;
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
