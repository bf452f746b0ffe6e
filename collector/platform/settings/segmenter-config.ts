import type { SegmenterConfig } from "../../../spc/segment/segmenter.ts";
import type { ShiftClock } from "../../../spc/segment/station-context.ts";
import { worksAlways } from "../../../spc/segment/working-time.ts";
import { durationMs, type SegmenterSettings } from "./schema.ts";

const dayMs = 86_400_000;

/** A segmenter as the core takes it: durations in milliseconds, hours of the site's clock as edges of its day. */
export function segmenterConfig(settings: SegmenterSettings, clock: ShiftClock): SegmenterConfig {
  switch (settings.by) {
    case "state-signal": {
      const { by, role, states, opensAt, closesAt } = settings;
      return { by, role, states, opensAt, closesAt, ...limitsOf(settings) };
    }
    case "threshold": {
      const { by, role, opensAbove, closesBelow, hold } = settings;
      return { by, role, opensAbove, closesBelow, holdMs: durationMs(hold), ...limitsOf(settings) };
    }
    case "marker":
      return { by: settings.by, role: settings.role, ...limitsOf(settings) };
    case "clock":
      return {
        ...{ by: settings.by, edges: edgesOf(clock, durationMs(settings.every)), offsets: clock.offsets },
        ...(worksAlways(clock) ? {} : { shifts: clock.shifts }),
        ...(clock.freeDays === undefined ? {} : { freeDays: clock.freeDays }),
      };
    case "change": {
      const { by, role, key, closesAt, idle } = settings;
      const ends = {
        ...(closesAt === undefined ? {} : { closesAt }),
        ...(idle === undefined ? {} : { idleMs: durationMs(idle) }),
      };
      return { by, role, key, ...ends, ...limitsOf(settings) };
    }
    case "items": {
      const { by, role, key, opensAt, closesAt, most } = settings;
      return { by, role, key, opensAt, closesAt, most, ...limitsOf(settings) };
    }
    case "sequence": {
      const { by, role } = settings;
      const steps = settings.steps.map(({ name, ...level }) => ({ ...levelOf(level), name: name ?? null }));
      return { by, role, steps, ends: levelOf(settings.ends), ...limitsOf(settings) };
    }
  }
}

function limitsOf({ timeout, gap }: { readonly timeout: string; readonly gap?: string | undefined }) {
  return { timeoutMs: durationMs(timeout), ...(gap === undefined ? {} : { gapMs: durationMs(gap) }) };
}

type LevelSettings = Extract<SegmenterSettings, { by: "sequence" }>["ends"];

function levelOf({ above, below, from, hold }: LevelSettings) {
  return {
    ...(above === undefined ? {} : { above }),
    ...(below === undefined ? {} : { below }),
    ...(from === undefined ? {} : { from }),
    holdMs: durationMs(hold),
  };
}

/** Every so long from each start of a shift to the next one. */
function edgesOf({ shifts }: ShiftClock, everyMs: number): readonly number[] {
  const starts = shifts.length === 0 ? [0] : shifts.map(({ fromMs }) => fromMs);
  const edges = starts.flatMap((startMs, at) => {
    const untilMs = starts[at + 1] ?? starts[0]! + dayMs;
    const count = Math.max(1, Math.ceil((untilMs - startMs) / everyMs));
    return Array.from({ length: count }, (_, i) => (startMs + i * everyMs) % dayMs);
  });
  return edges.sort((a, b) => a - b);
}
