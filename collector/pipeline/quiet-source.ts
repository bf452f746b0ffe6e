import { durationMs } from "../platform/settings/schema.ts";
import type { SourceSettings } from "../platform/settings/source-schema.ts";

/** Whether a source has been quiet for longer than it is while all is well; never where nobody said how long. */
export function isTooQuiet({ quietAtMost }: Pick<SourceSettings, "quietAtMost">, quietMs: number): boolean {
  return quietAtMost !== undefined && quietMs > durationMs(quietAtMost);
}
