import { type Clock, systemClock } from "../../collector/platform/clock.ts";

/** A clock that begins at a time and goes so many times as fast as ours. */
export function fastClock(startMs: number, speed: number): Clock {
  const since = performance.now();
  return {
    nowMs: () => startMs + (performance.now() - since) * speed,
    sleep: (ms, signal) => systemClock.sleep(ms / speed, signal),
  };
}
