import type { RoleSample, RunEvent, RunSegmenter } from "../model/run.ts";
import { type Attributes, checkedLimits, closed, enter, type OpenRun, opened, overdue, told } from "./open-run.ts";
import type { StateSignalConfig } from "./segmenter.ts";

export interface StateSignalState {
  /** Newest sample of the station, of any role. */
  readonly lastMs: number | null;
  /** State number last told, or null when it may have changed unheard. */
  readonly known: number | null;
  /** What the last opening event said, to tell its repeat from the next run. */
  readonly opening: Attributes;
  readonly run: OpenRun | null;
}

/**
 * Runs from a state number that a machine sends: each state is a named segment of the run.
 *
 * A repeat of the state changes nothing. A run opens on the opening state alone, so a stream that begins amid a run
 * opens none. When the next run opens before the closing state came, that event was lost: the former run is closed
 * there by `gap`. After a longer silence the state is unknown again.
 *
 * @shape   samples of one station under their roles, in time order; one older than its predecessor is left out, and
 *          an event without a number or of bad quality tells no state
 * @unit    ms since the epoch, source time
 * @method  segments are half open; opening state repeated with another attribute (the next flask) is the next run
 * @throws  RangeError when the opening state is the closing one, or for limits that are not positive
 * @cost    O(1) a sample
 * @source  derived here
 * @checked tests/unit/spc/segment/state-signal.test.ts, tests/property/spc/segment/segmenters.test.ts
 */
export function stateSignalSegmenter(station: string, config: StateSignalConfig): RunSegmenter<StateSignalState> {
  const { role, states, opensAt, closesAt } = config;
  const limits = checkedLimits(config);
  if (opensAt === closesAt) throw new RangeError(`a run cannot open and close at the same state ${opensAt}`);
  const nameOf = (number: number): string | null => (Object.hasOwn(states, number) ? states[number]! : null);

  return {
    initial: { lastMs: null, known: null, opening: {}, run: null },
    step(state, sample) {
      const { tMs } = sample;
      const lastMs = state.lastMs ?? tMs;
      if (tMs < lastMs) return { state, out: [] };

      const out: RunEvent[] = [];
      let { known, opening, run } = state;
      const end = run === null ? undefined : overdue(run, lastMs, tMs, limits);
      if (run !== null && end !== undefined) {
        out.push(...closed(station, run, end.endMs, end.closedBy));
        run = null;
      }
      if (tMs - lastMs > limits.gapMs) known = null;

      const now = toldState(sample, role);
      if (now === opensAt && (now !== known || contradict(opening, sample.attributes))) {
        if (run !== null) out.push(...closed(station, run, tMs, "gap"));
        run = { startMs: tMs, segments: [], segment: null, context: {} };
        opening = sample.attributes ?? {};
        out.push(opened(station, tMs));
      }
      if (run !== null) run = told(run, sample.attributes);
      if (run !== null && now === closesAt) {
        out.push(...closed(station, run, tMs, "end-condition"));
        run = null;
      } else if (run !== null && now !== null) {
        run = enter(run, nameOf(now), tMs);
      }
      return { state: { lastMs: tMs, known: now ?? known, opening, run }, out };
    },
  };
}

/** What is no number is no state; nought has no sign, for the checkpoint keeps none. */
function toldState({ role: own, quality, value }: RoleSample, role: string): number | null {
  return own === role && quality !== "bad" && value !== null && Number.isFinite(value) ? value + 0 : null;
}

function contradict(before: Attributes, now: Attributes | undefined): boolean {
  return Object.entries(now ?? {}).some(([key, value]) => Object.hasOwn(before, key) && before[key] !== value);
}
