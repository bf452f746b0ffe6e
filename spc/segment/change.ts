import type { RunEvent, RunSegmenter } from "../model/run.ts";
import { type Attributes, checkedLimits, closed, type OpenRun, opened, overdue } from "./open-run.ts";
import type { ChangeConfig } from "./segmenter.ts";

export interface ChangeState {
  /** Newest sample of the station, of any role. */
  readonly lastMs: number | null;
  /** What the attribute was last told to be, or null when it may have changed unheard. */
  readonly known: string | null;
  /** Newest event of the open run. */
  readonly toldMs: number | null;
  readonly run: OpenRun | null;
}

/**
 * Runs that last while events name the same thing: a lot of beads in use, the flasks of one ladle.
 *
 * The next name ends the run: at its own first event, or, where the settings give `idle`, at the last event of the name
 * before, for nothing of a ladle happens after its last pour. An event of the closing state ends it as well.
 *
 * @shape   samples of one station under their roles, in time order; one older than its predecessor is left out, and an
 *          event without the attribute or without a number names nothing
 * @unit    ms since the epoch, source time
 * @method  the run's context is what all its events said alike. A run that timed out is not opened again by its own name
 * @throws  RangeError for limits or an idle time not positive
 * @cost    O(1) a sample
 * @source  derived here
 * @checked tests/unit/spc/segment/change.test.ts, tests/property/spc/segment/segmenters.test.ts
 */
export function changeSegmenter(station: string, config: ChangeConfig): RunSegmenter<ChangeState> {
  const { role, key, closesAt, idleMs } = config;
  const limits = checkedLimits(config);
  if (idleMs !== undefined && !(idleMs > 0)) throw new RangeError(`an idle time must be above 0 ms, got ${idleMs}`);

  return {
    initial: { lastMs: null, known: null, toldMs: null, run: null },
    step(state, sample) {
      const { tMs } = sample;
      const lastMs = state.lastMs ?? tMs;
      if (tMs < lastMs) return { state, out: [] };

      const out: RunEvent[] = [];
      let { known, toldMs, run } = state;
      const end = (endMs: number, by: "end-condition" | "gap" | "timeout"): void => {
        if (run !== null) out.push(...closed(station, run, endMs, by));
        run = null;
      };
      const idle = idleMs !== undefined && toldMs !== null && tMs - toldMs > idleMs;
      if (run !== null && idle) {
        end(toldMs!, "end-condition");
        known = null;
      }
      const late = run === null ? undefined : overdue(run, lastMs, tMs, limits);
      if (late !== undefined) end(late.endMs, late.closedBy as "gap" | "timeout");
      if (tMs - lastMs > limits.gapMs) known = null;

      const told = sample.role === role && sample.quality !== "bad" && sample.value !== null;
      const name = told ? nameIn(sample.attributes, key) : null;
      if (told && sample.value === closesAt && (name === null || name === known)) {
        end(tMs, "end-condition");
        known = null;
      } else if (name !== null && sample.value !== closesAt) {
        if (name !== known) {
          end(idleMs === undefined ? tMs : toldMs!, "end-condition");
          run = { startMs: tMs, segments: [], segment: null, context: sample.attributes ?? {} };
          out.push(opened(station, tMs));
        } else if (run !== null) run = { ...run, context: alike(run.context, sample.attributes ?? {}) };
        known = name;
        toldMs = tMs;
      }
      return { state: { lastMs: tMs, known, toldMs, run }, out };
    },
  };
}

function nameIn(attributes: Attributes | undefined, key: string): string | null {
  if (attributes === undefined || !Object.hasOwn(attributes, key)) return null;
  return attributes[key] === "" ? null : attributes[key]!;
}

function alike(before: Attributes, now: Attributes): Attributes {
  return Object.fromEntries(
    Object.entries(before).filter(([name, word]) => Object.hasOwn(now, name) && now[name] === word),
  );
}
