import type { ShiftClock } from "../../spc/segment/station-context.ts";
import { freeTime, workingTime } from "../../spc/segment/working-time.ts";
import { durationMs } from "../platform/settings/schema.ts";
import type { SourceSettings } from "../platform/settings/source-schema.ts";

/** Whether a source has been quiet for longer than it is while all is well; never where nobody said how long. */
export function isTooQuiet({ quietAtMost }: Pick<SourceSettings, "quietAtMost">, quietMs: number): boolean {
  return quietAtMost !== undefined && quietMs > durationMs(quietAtMost);
}

/** How long a source that speaks only in runs has been quiet while anybody worked: free time is nobody's silence. */
export function quietAtWorkMs(clock: ShiftClock, nowMs: number, quietMs: number): number {
  if (freeTime(nowMs, clock) !== null) return 0;
  const since = workingTime(nowMs, clock);
  return since === null ? quietMs : Math.min(quietMs, nowMs - since.startMs);
}
