import type { Response } from "express";
import { Problem } from "./problem.ts";

/** Lets each asker ask so many times within a minute. */
export interface RateLimit {
  /** Throws a 429 with `Retry-After` when it was too often; otherwise counts. */
  ask(who: string, nowMs: number, response: Response): void;
}

const MINUTE_MS = 60_000;
/** More askers than a plant has phones: beyond it those that have not asked for a minute are forgotten. */
const MOST_ASKERS = 1_000;

export function rateLimit(most: number, what: string): RateLimit {
  const asked = new Map<string, readonly number[]>();
  return {
    ask: (who, nowMs, response) => {
      const recent = (asked.get(who) ?? []).filter((atMs) => nowMs - atMs < MINUTE_MS);
      const [oldest] = recent;
      if (oldest !== undefined && recent.length >= most) {
        const seconds = Math.max(1, Math.ceil((oldest + MINUTE_MS - nowMs) / 1000));
        response.set("Retry-After", String(seconds));
        throw new Problem(429, "too-often", `${what} at most ${most} times a minute: again in ${seconds} s`);
      }
      if (asked.size >= MOST_ASKERS) {
        for (const [one, times] of asked) if (nowMs - (times.at(-1) ?? 0) >= MINUTE_MS) asked.delete(one);
      }
      asked.set(who, [...recent, nowMs]);
    },
  };
}
