import type { ConnectionEnd } from "./held-connection.ts";

/** So many ends by the broker within so long: a broker that restarts, or a bad network, also fails to be reached. */
const ENDS = 3;
const WITHIN_MS = 3 * 60_000;

export interface TakeoverSuspicion {
  /** Takes in how a connection ended; true when another client took our place, for certain or by all appearance. */
  look(by: ConnectionEnd["by"], nowMs: number): boolean;
}

/**
 * Notices a second client under our client id. MQTT 5 says so. MQTT 3.1.1 has only the pattern: each of the two is let in
 * at its first try, and thrown out when the other comes back.
 */
export function takeoverSuspicion(): TakeoverSuspicion {
  let ends: readonly number[] = [];
  return {
    look: (by, nowMs) => {
      if (by === "taken-over") return true;
      if (by !== "broker") {
        ends = [];
        return false;
      }
      ends = [...ends.filter((ms) => nowMs - ms < WITHIN_MS), nowMs];
      return ends.length >= ENDS;
    },
  };
}
