import type { RoleSample, RunEvent, RunSegmenter } from "../model/run.ts";
import { type Attributes, checkedLimits, closed, enter, type OpenRun, opened, overdue, told } from "./open-run.ts";
import type { LevelStep, SequenceConfig } from "./segmenter.ts";

/** Which level a value is on its way beyond, and since when. Times are null while it is on the near side. */
interface Crossing {
  /** Since when it has been beyond where the step begins. */
  readonly beganMs: number | null;
  /** Since when it has been beyond the level that proves the step. */
  readonly beyondMs: number | null;
}

export interface SequenceState {
  /** Newest sample of the station, of any role. */
  readonly lastMs: number | null;
  /** Newest reading looked at: the same one, delivered again, proves no further step. */
  readonly readMs: number | null;
  /** Step that the run is in; -1 between runs. */
  readonly at: number;
  /** The value has been on the near side of the first step since the last run, silence or opening. */
  readonly armed: boolean;
  /** Towards the step that comes next, and, amid a run, towards the first one. */
  readonly next: Crossing;
  readonly first: Crossing;
  /** What events told while the run was not yet sure. */
  readonly heard: Attributes;
  readonly run: OpenRun | null;
}

const away: Crossing = { beganMs: null, beyondMs: null };

/**
 * Runs and their steps from one reading that passes levels in a known order: a press that does not tell its step, a
 * table that does not tell its stage. A step number that the machine sends is worth more.
 *
 * A stream that begins amid a run opens none until the value has been on the near side of the first step. When the first
 * step comes anew before the last has ended, something failed: the former run is closed there by `gap`.
 *
 * @shape   samples of one station under their roles, in time order; one older than its predecessor is left out, and
 *          readings without a number or not good neither confirm nor break a hold
 * @unit    ms since the epoch, source time; levels in the unit of the role's series
 * @method  a step is entered once the value has stayed strictly beyond its level for its hold, and begins where the value
 *          first passed `from`; the end is such a step without a name. Steps come in their order, none is left out
 * @throws  RangeError without steps, for a step with no level or two, `from` beyond its level, or limits not positive
 * @cost    O(1) a sample
 * @source  derived here
 * @checked tests/unit/spc/segment/sequence.test.ts, tests/property/spc/segment/segmenters.test.ts
 */
export function sequenceSegmenter(station: string, config: SequenceConfig): RunSegmenter<SequenceState> {
  const { role, steps, ends } = config;
  const limits = checkedLimits(config);
  if (steps.length === 0) throw new RangeError("a sequence needs a step");
  for (const step of [...steps, ends]) checkedStep(step);
  const last = steps.length - 1;

  return {
    initial: { lastMs: null, readMs: null, at: -1, armed: false, next: away, first: away, heard: {}, run: null },
    step(state, sample) {
      const { tMs } = sample;
      const lastMs = state.lastMs ?? tMs;
      if (tMs < lastMs) return { state, out: [] };

      const out: RunEvent[] = [];
      let { readMs, at, armed, next, first, heard, run } = state;
      const open = (began: number): void => {
        run = enter({ startMs: began, segments: [], segment: null, context: heard }, steps[0]!.name, began);
        out.push(opened(station, began));
        at = 0;
        armed = false;
        heard = {};
        next = away;
        first = away;
      };

      const over = run === null ? undefined : overdue(run, lastMs, tMs, limits);
      if (run !== null && over !== undefined) out.push(...closed(station, run, over.endMs, over.closedBy));
      if (over !== undefined || tMs - lastMs > limits.gapMs) {
        run = null;
        at = -1;
        armed = false;
        next = away;
        first = away;
      }
      if (run !== null) run = told(run, sample.attributes);
      else if (first.beganMs !== null) heard = { ...heard, ...sample.attributes };

      const value = readingOf(sample, role);
      if (value !== null && tMs !== readMs) {
        readMs = tMs;
        const opening = steps[0]!;
        if (!beyond(value, opening, opening.from)) {
          armed = true;
          heard = {};
        }
        const before = first.beganMs;
        first = armed ? crossed(first, value, opening, tMs) : away;
        if (run === null && before === null && first.beganMs !== null) heard = { ...sample.attributes };

        if (run !== null) {
          const step = at === last ? ends : steps[at + 1]!;
          next = crossed(next, value, step, tMs);
          if (proven(next, step, tMs)) {
            const began = next.beganMs!;
            next = away;
            if (at === last) {
              out.push(...closed(station, run, began, "end-condition"));
              run = null;
              at = -1;
              // The next run cannot have begun before this one ended.
              if (first.beganMs !== null) first = { ...first, beganMs: Math.max(first.beganMs, began) };
            } else {
              at += 1;
              run = enter(run, steps[at]!.name, began);
              first = away;
              armed = false;
            }
          } else if (proven(first, opening, tMs)) {
            const began = first.beganMs!;
            out.push(...closed(station, run, began, "gap"));
            heard = { ...sample.attributes };
            open(began);
          }
        } else if (proven(first, opening, tMs)) open(first.beganMs!);
      }
      return { state: { lastMs: tMs, readMs, at, armed, next, first, heard, run }, out };
    },
  };
}

function checkedStep(step: LevelStep): void {
  const { above, below, from, holdMs = 0 } = step;
  const level = above ?? below;
  if ((above === undefined) === (below === undefined) || !Number.isFinite(level))
    throw new RangeError("a step is above a level or below one");
  if (from !== undefined && !(above === undefined ? from >= level! : from <= level!))
    throw new RangeError(`a step must begin before its level ${level}, got ${from}`);
  if (!(holdMs >= 0)) throw new RangeError(`a hold must be 0 ms or more, got ${holdMs}`);
}

function readingOf({ role, value, quality }: RoleSample, wanted: string): number | null {
  return role === wanted && quality === "good" ? value : null;
}

function beyond(value: number, { above, below }: LevelStep, level: number | undefined): boolean {
  return above === undefined ? value < (level ?? below!) : value > (level ?? above);
}

function crossed({ beganMs, beyondMs }: Crossing, value: number, step: LevelStep, tMs: number): Crossing {
  if (!beyond(value, step, step.from)) return away;
  return { beganMs: beganMs ?? tMs, beyondMs: beyond(value, step, undefined) ? (beyondMs ?? tMs) : null };
}

function proven({ beyondMs }: Crossing, { holdMs = 0 }: LevelStep, tMs: number): boolean {
  return beyondMs !== null && tMs - beyondMs >= holdMs;
}
