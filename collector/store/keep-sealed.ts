import type { Clock } from "../platform/clock.ts";
import type { LostStretch, SampleStore } from "./sample-store.ts";

/** Between two turns while there is work: readings and pages come first. */
const BUSY_MS = 25;
const IDLE_MS = 2_000;
const FAILED_MS = 30_000;

export interface SealingParts {
  readonly store: SampleStore;
  readonly clock: Clock;
  /** A store that could not seal is tried again. */
  readonly failed: (error: unknown) => void;
  /** Readings that the disk has damaged, told once each. */
  readonly lost: (stretch: LostStretch) => void;
}

/** Seals what waits, a little at a time, until the signal aborts. */
export async function keepSealed({ store, clock, failed, lost }: SealingParts, signal: AbortSignal): Promise<void> {
  let told = 0;
  while (!signal.aborted) {
    let waitMs = IDLE_MS;
    try {
      if (store.sealSome()) waitMs = BUSY_MS;
    } catch (error) {
      // Also where the file is damaged, or the fault is ours: what comes in is kept open then, which takes room and loses
      // nothing, while a product that ends would start again only to end at the same readings.
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
