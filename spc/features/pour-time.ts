import { ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { wholeRun } from "./window.ts";

/**
 * `pour.time`: how long the pour took.
 *
 * @shape   no roles: the marker that cut the run tells it; no settings
 * @unit    s
 * @method  end of the run minus its start, source time
 * @refuses those of `wholeRun`
 * @throws  RangeError for any setting
 * @source  definition
 * @checked tests/unit/spc/features/pour.test.ts
 */
export function pourTime(settings: Readonly<Record<string, number>>): FeatureExtractor {
  featureNumbers("pour.time", settings, {});
  return guarded({
    id: "pour.time",
    version: 1,
    unit: "s",
    roles: [],
    extract(trace) {
      const pour = wholeRun(trace.run);
      return pour.ok ? ok((pour.value.toMs - pour.value.fromMs) / 1000) : pour;
    },
  });
}
