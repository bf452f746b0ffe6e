import type { Bus } from "../platform/bus.ts";
import type { Clock } from "../platform/clock.ts";

/** Announcements within this time are answered together. */
const COALESCE_MS = 100;

export interface Waker {
  /** Resolves soon after the next announcement, or after `mostMs`, or when the signal aborts. Never rejects. */
  wait(mostMs: number, signal: AbortSignal): Promise<void>;
  stop(): void;
}

/** Waits for samples: an announcement made while nobody waited ends the next wait at once. */
export function wakeOnNews(bus: Bus, clock: Clock): Waker {
  let woken = false;
  let wake: (() => void) | null = null;
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
      woken = false;
      await rest(clock, COALESCE_MS, signal);
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
