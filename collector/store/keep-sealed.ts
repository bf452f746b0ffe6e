import type { Clock } from "../platform/clock.ts";
import { Fault } from "../platform/fault.ts";
import type { LostStretch, SampleStore } from "./sample-store.ts";

/** Between two turns while there is work: readings and pages come first. */
const BUSY_MS = 25;
const IDLE_MS = 2_000;
const FAILED_MS = 30_000;

export interface SealingParts {
  readonly store: SampleStore;
  readonly clock: Clock;
  /** A store that could not seal is tried again. */
  readonly failed: (fault: Fault) => void;
  /** Readings that the disk has damaged, told once each. */
  readonly lost: (stretch: LostStretch) => void;
}

/** Seals what waits, a little at a time, until the signal aborts. Rejects with a defect only. */
export async function keepSealed({ store, clock, failed, lost }: SealingParts, signal: AbortSignal): Promise<void> {
  let told = 0;
  while (!signal.aborted) {
    let waitMs = IDLE_MS;
    try {
      if (store.sealSome()) waitMs = BUSY_MS;
    } catch (error) {
      // Also where the file is damaged: what comes in is kept open then, which takes room and loses nothing.
      if (!(error instanceof Fault)) throw error;
      failed(error);
      waitMs = FAILED_MS;
    }
    const stretches = store.lost();
    for (; told < stretches.length; told += 1) lost(stretches[told]!);
    try {
      await clock.sleep(waitMs, signal);
    } catch (error) {
      if (!signal.aborted) throw error;
    }
  }
}
