import type { Clock } from "../../collector/platform/clock.ts";

/** A clock that stands still until it is told to go on. */
export interface ManualClock extends Clock {
  /** Moves the time and wakes those whose sleep is over, the earliest first. */
  advance(ms: number): void;
}

export function manualClock(startMs: number): ManualClock {
  let nowMs = startMs;
  const sleepers = new Set<{ readonly untilMs: number; readonly wake: () => void }>();
  return {
    nowMs: () => nowMs,
    sleep: (ms, signal) =>
      new Promise((resolve, reject) => {
        signal.throwIfAborted();
        const abort = (): void => {
          sleepers.delete(sleeper);
          reject(signal.reason);
        };
        const wake = (): void => {
          signal.removeEventListener("abort", abort);
          resolve();
        };
        const sleeper = { untilMs: nowMs + ms, wake };
        signal.addEventListener("abort", abort, { once: true });
        sleepers.add(sleeper);
      }),
    advance: (ms) => {
      nowMs += ms;
      for (const sleeper of [...sleepers].sort((a, b) => a.untilMs - b.untilMs)) {
        if (sleeper.untilMs > nowMs) continue;
        sleepers.delete(sleeper);
        sleeper.wake();
      }
    },
  };
}
