import { ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { withoutNumbers } from "./extractor.ts";
import { segmentWindow, wholeRun } from "./window.ts";

const msOf = { s: 1000, min: 60_000, h: 3_600_000, d: 86_400_000 } as const;

/**
 * How long a run, or one of its segments, lasted.
 *
 * @shape   no roles: what cut the run tells it; no settings
 * @unit    as it is told: s, min, h or d
 * @method  end minus start, source time
 * @refuses those of `wholeRun` or `segmentWindow`
 * @throws  RangeError for any setting
 * @source  definition
 * @checked tests/unit/spc/features/told.test.ts
 */
export function lasted(
  id: string,
  unit: keyof typeof msOf,
  segment?: string,
): (settings: Readonly<Record<string, number>>) => FeatureExtractor {
  return withoutNumbers({
    id,
    version: 1,
    unit,
    roles: [],
    extract({ run }) {
      const window = segment === undefined ? wholeRun(run) : segmentWindow(run, segment);
      return window.ok ? ok((window.value.toMs - window.value.fromMs) / msOf[unit]) : window;
    },
  });
}
