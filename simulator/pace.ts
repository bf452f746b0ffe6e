import type { Speed } from "./arguments.ts";

/** Longest stretch of one gateway's time sent at once while behind, and the one sent while with the clock. */
const behindMs = 20_000;
const withClockMs = 1000;

/** Tells what to send next: a window of simulated time, or how long to wait for one. */
export type Next = { readonly kind: "send"; readonly toMs: number } | { readonly kind: "wait"; readonly ms: number };

export interface Pace {
  next(reachedMs: number, nowMs: number): Next;
}

/** The clock of the simulated plant, started at `nowMs`. */
export function pace(speed: Speed, fromMs: number, toMs: number, startedMs: number): Pace {
  const times = typeof speed === "number" ? speed : 1;
  const simulated = (nowMs: number): number => {
    if (speed === "max") return toMs;
    return Math.min(toMs, speed === "live" ? nowMs : fromMs + (nowMs - startedMs) * times);
  };
  return {
    next: (reachedMs, nowMs) => {
      const clockMs = simulated(nowMs);
      if (clockMs - reachedMs >= behindMs) return { kind: "send", toMs: reachedMs + behindMs };
      const wanted = Math.min(toMs, reachedMs + withClockMs);
      if (clockMs >= wanted) return { kind: "send", toMs: wanted };
      return { kind: "wait", ms: Math.max(1, Math.ceil((wanted - clockMs) / times)) };
    },
  };
}
