import { durationMs } from "../platform/settings/schema.ts";
import type { SourceSettings } from "../platform/settings/source-schema.ts";

/** Whether a source that ever spoke has been quiet for longer than it is while all is well; never where nobody said how long. */
export function isTooQuiet(
  { quietAtMost }: Pick<SourceSettings, "quietAtMost">,
  newestMs: number,
  nowMs: number,
  watchedMs: number,
): boolean {
  if (quietAtMost === undefined || newestMs === 0) return false;
  return nowMs - Math.max(newestMs, watchedMs) > durationMs(quietAtMost);
}
