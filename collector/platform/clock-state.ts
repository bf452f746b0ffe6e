import { existsSync } from "node:fs";

const SYNCHRONISED = "/run/systemd/timesync/synchronized";
const STEP_MS = 2_000;

/**
 * Whether the time of day can be leant on: the system's own word where it gives one in a file, and whether the clock
 * was set while this process ran. Anything else is not known, and says so.
 */
export function clockState(
  nowMs: number,
  monotonicMs: number = performance.timeOrigin + performance.now(),
): "synchronised" | "not-known" | "stepped" {
  if (Math.abs(nowMs - monotonicMs) >= STEP_MS) return "stepped";
  return existsSync(SYNCHRONISED) ? "synchronised" : "not-known";
}
