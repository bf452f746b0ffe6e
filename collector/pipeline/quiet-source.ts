import type { ShiftClock } from "../../spc/segment/station-context.ts";
import { freeTime, workingTime } from "../../spc/segment/working-time.ts";
import { durationMs } from "../platform/settings/schema.ts";
import type { SourceSettings } from "../platform/settings/source-schema.ts";

/**
 * Whether a source has been quiet for longer than it is while all is well; never where nobody said how long. Free time is
 * nobody's silence: what counts is how long it has been quiet while anybody worked.
 */
export function isTooQuiet(
  { quietAtMost }: Pick<SourceSettings, "quietAtMost">,
  clock: ShiftClock,
  nowMs: number,
  quietMs: number,
): boolean {
  if (quietAtMost === undefined) return false;
  const mostMs = durationMs(quietAtMost);
  if (quietMs <= mostMs || freeTime(nowMs, clock) !== null) return false;
  const since = workingTime(nowMs, clock);
  return since === null || nowMs - since.startMs > mostMs;
}
