import type { SegmenterConfig } from "../../../spc/segment/segmenter.ts";
import { durationMs, type SegmenterSettings } from "./schema.ts";

/** A segmenter as the core takes it: durations in milliseconds. */
export function segmenterConfig(settings: SegmenterSettings): SegmenterConfig {
  const limits = {
    timeoutMs: durationMs(settings.timeout),
    ...(settings.gap === undefined ? {} : { gapMs: durationMs(settings.gap) }),
  };
  switch (settings.by) {
    case "state-signal": {
      const { by, role, states, opensAt, closesAt } = settings;
      return { by, role, states, opensAt, closesAt, ...limits };
    }
    case "threshold": {
      const { by, role, opensAbove, closesBelow, hold } = settings;
      return { by, role, opensAbove, closesBelow, holdMs: durationMs(hold), ...limits };
    }
    case "marker":
      return { by: settings.by, role: settings.role, ...limits };
  }
}
