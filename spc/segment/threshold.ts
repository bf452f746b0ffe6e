import type { RunEvent, RunSegmenter } from "../model/run.ts";
import { type Attributes, checkedLimits, closed, type OpenRun, opened, overdue, told } from "./open-run.ts";
import type { ThresholdConfig } from "./segmenter.ts";

export interface ThresholdState {
  /** Newest sample of the station, of any role. */
  readonly lastMs: number | null;
  /** The value has been seen below since the last run or silence, so a rise is a beginning. */
  readonly armed: boolean;
  /** Since when the value has stayed beyond the line that would open or close. */
  readonly sinceMs: number | null;
  /** What events told while the value stayed above but the run was not yet sure. */
  readonly heard: Attributes;
  readonly run: OpenRun | null;
}

/**
 * Runs from a value that rises above a line and falls below another, for machines that send no state.
 *
 * A stream that begins above the line opens nothing until the value has been below. Readings without a number or not
 * good neither confirm nor break a hold.
 *
 * @shape   samples of one station under their roles, in time order; one older than its predecessor is left out
 * @unit    ms since the epoch, source time; lines in the unit of the role's series
 * @method  a run opens once the value has stayed strictly above for the hold, and begins where it first was; it closes
 *          likewise strictly below, and ends where it first was
 * @throws  RangeError when the opening line lies below the closing one, for a negative hold or limits not positive
 * @cost    O(1) a sample
 * @source  derived here
 * @checked tests/unit/spc/segment/threshold.test.ts, tests/property/spc/segment/segmenters.test.ts
 */
export function thresholdSegmenter(station: string, config: ThresholdConfig): RunSegmenter<ThresholdState> {
  const { role, opensAbove, closesBelow, holdMs } = config;
  const limits = checkedLimits(config);
  if (!(opensAbove >= closesBelow)) {
    throw new RangeError(`a run must open at or above where it closes, got ${opensAbove} and ${closesBelow}`);
  }
  if (!(holdMs >= 0)) throw new RangeError(`a hold must be 0 ms or more, got ${holdMs}`);

  return {
    initial: { lastMs: null, armed: false, sinceMs: null, heard: {}, run: null },
    step(state, sample) {
      const { tMs, value } = sample;
      const lastMs = state.lastMs ?? tMs;
      if (tMs < lastMs) return { state, out: [] };

      const out: RunEvent[] = [];
      let { armed, sinceMs, heard, run } = state;
      const end = run === null ? undefined : overdue(run, lastMs, tMs, limits);
      if (run !== null && end !== undefined) {
        out.push(...closed(station, run, end.endMs, end.closedBy));
        run = null;
      }
      if (end !== undefined || tMs - lastMs > limits.gapMs) {
        armed = false;
        sinceMs = null;
      }
      if (run !== null) run = told(run, sample.attributes);
      else if (sinceMs !== null) heard = { ...heard, ...sample.attributes };

      if (sample.role === role && value !== null && sample.quality === "good") {
        const beyond = run === null ? armed && value > opensAbove : value < closesBelow;
        if (!beyond) heard = {};
        else if (run === null && sinceMs === null) heard = { ...sample.attributes };
        sinceMs = beyond ? (sinceMs ?? tMs) : null;
        if (value < closesBelow) armed = true;
        if (sinceMs !== null && tMs - sinceMs >= holdMs) {
          if (run === null) {
            run = { startMs: sinceMs, segments: [], segment: null, context: heard };
            out.push(opened(station, sinceMs));
          } else {
            out.push(...closed(station, run, sinceMs, "end-condition"));
            run = null;
          }
          sinceMs = null;
          heard = {};
        }
      }
      return { state: { lastMs: tMs, armed, sinceMs, heard, run }, out };
    },
  };
}
