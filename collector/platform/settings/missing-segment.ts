import type { FeatureExtractor, Run, RunTrace } from "../../../spc/model/run.ts";
import type { Sample } from "../../../spc/model/sample.ts";

// No longer than it takes to find the segments: each start of the product makes hundreds of such runs.
const SEGMENT_MS = 60_000;
const EVERY_MS = 1_000;

/**
 * The segment that a feature asks for and the segmenter does not make, in the feature's own words, or null: found by
 * taking the feature of a made-up run that has every segment and every reading.
 */
export function missingSegment(feature: FeatureExtractor, segments: readonly string[]): string | null {
  const endMs = SEGMENT_MS * Math.max(1, segments.length);
  const run: Run = {
    id: "trial",
    station: "trial",
    startMs: 0,
    endMs,
    closedBy: "end-condition",
    segments: segments.map((name, at) => ({ name, fromMs: at * SEGMENT_MS, toMs: (at + 1) * SEGMENT_MS })),
    context: {},
  };
  const trace: RunTrace = {
    run,
    samples: Object.fromEntries(feature.roles.map((role) => [role, wobble(role, endMs)])),
    everyMs: Object.fromEntries(feature.roles.map((role) => [role, EVERY_MS])),
    ambientPressureHpa: 1000,
  };
  const outcome = feature.extract(trace);
  return !outcome.ok && outcome.refusal.code === "segment-missing" ? outcome.refusal.detail : null;
}

function wobble(series: string, endMs: number): readonly Sample[] {
  return Array.from({ length: endMs / EVERY_MS }, (_, at) => ({
    series,
    tMs: at * EVERY_MS,
    value: 50 + (at % 2),
    quality: "good",
  }));
}
