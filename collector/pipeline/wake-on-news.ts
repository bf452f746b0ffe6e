import type { Bus } from "../platform/bus.ts";
import type { Clock } from "../platform/clock.ts";

/** Answers follow each other no closer than this: what is announced meanwhile is answered together. */
const APART_MS = 25;

export interface Waker {
  /** Resolves at the next announcement, but not too soon after the last time, or after `mostMs`, or when the signal aborts. Never rejects. */
  wait(mostMs: number, signal: AbortSignal): Promise<void>;
  stop(): void;
}

/** Waits for samples: an announcement made while nobody waited ends the next wait at once. */
export function wakeOnNews(bus: Bus, clock: Clock): Waker {
  let woken = false;
  let wake: (() => void) | null = null;
  let answeredMs = Number.NEGATIVE_INFINITY;
  const stop = bus.on("samples", () => {
    woken = true;
    wake?.();
  });
  return {
    stop,
    wait: async (mostMs, signal) => {
      const over = new AbortController();
      wake = () => over.abort();
      signal.addEventListener("abort", wake);
      if (woken || signal.aborted) wake();
      await rest(clock, mostMs, over.signal);
      signal.removeEventListener("abort", wake);
      wake = null;
      const sinceMs = clock.nowMs() - answeredMs;
      // A clock that was set back says nothing.
      if (sinceMs >= 0 && sinceMs < APART_MS) await rest(clock, APART_MS - sinceMs, signal);
      woken = false;
      answeredMs = clock.nowMs();
    },
  };
}

/** Sleeps; to be woken early is no failure. */
export async function rest(clock: Clock, ms: number, signal: AbortSignal): Promise<void> {
  try {
    await clock.sleep(ms, signal);
  } catch (error) {
    if (!signal.aborted) throw error;
  }
}
