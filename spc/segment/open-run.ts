import { type ClosedBy, type RunEvent, runId, type Segment } from "../model/run.ts";
import type { CutLimits } from "./segmenter.ts";

/** A run that has begun; plain JSON, since it is part of a checkpoint. */
export interface OpenRun {
  readonly startMs: number;
  readonly segments: readonly Segment[];
  /** The named part that the run is in now. */
  readonly segment: { readonly name: string; readonly fromMs: number } | null;
  readonly context: Readonly<Record<string, string>>;
}

export type Attributes = Readonly<Record<string, string>>;

/**
 * Checks what every segmenter is told, and fills in the longest silence.
 *
 * @unit   ms
 * @method a silence longer than a tenth of the longest run spoils more than a feature may lack, so it ends the run
 * @throws RangeError for a timeout or gap that is not a positive number: a defect, since settings are checked before
 * @source derived here
 */
export function checkedLimits(limits: CutLimits): Required<CutLimits> {
  const { timeoutMs, gapMs = timeoutMs / 10 } = limits;
  if (!(timeoutMs > 0)) throw new RangeError(`a segmenter needs a timeout above 0 ms, got ${timeoutMs}`);
  if (!(gapMs > 0)) throw new RangeError(`a segmenter needs a gap above 0 ms, got ${gapMs}`);
  return { timeoutMs, gapMs };
}

/**
 * Whether a run had ended already when a sample came, and when: whichever of silence and age ran out first.
 *
 * @shape  lastMs: newest sample before this one, of any role
 * @unit   ms since the epoch, source time
 * @method a gap ends the run at the last sample before it, a timeout at the age allowed
 * @source derived here
 */
export function overdue(
  run: OpenRun,
  lastMs: number,
  tMs: number,
  limits: Required<CutLimits>,
): { readonly endMs: number; readonly closedBy: ClosedBy } | undefined {
  const timeoutAtMs = run.startMs + limits.timeoutMs;
  const silent = tMs - lastMs > limits.gapMs;
  if (silent && lastMs + limits.gapMs <= timeoutAtMs) return { endMs: lastMs, closedBy: "gap" };
  return tMs > timeoutAtMs ? { endMs: timeoutAtMs, closedBy: "timeout" } : undefined;
}

/**
 * Enters the named part of a run that begins at `tMs`, or none; a part entered again at once goes on.
 *
 * @unit   ms since the epoch, source time
 * @method parts that lasted 0 ms are left out
 * @source derived here
 */
export function enter(run: OpenRun, name: string | null, tMs: number): OpenRun {
  if (run.segment?.name === name) return run;
  return { ...run, segments: segmentsUntil(run, tMs), segment: name === null ? null : { name, fromMs: tMs } };
}

/**
 * Adds what an event told of the run; the newest word on a key holds.
 *
 * @unit   that of the context: words
 * @source derived here
 */
export function told(run: OpenRun, attributes: Attributes | undefined): OpenRun {
  return attributes === undefined ? run : { ...run, context: { ...run.context, ...attributes } };
}

/**
 * The event that a run's end makes; one that lasted 0 ms is no run.
 *
 * @shape  named: what its id begins with, where that is more than the station
 * @unit   ms since the epoch, source time
 * @source derived here
 */
export function closed(
  station: string,
  run: OpenRun,
  endMs: number,
  closedBy: ClosedBy,
  named: string = station,
): readonly RunEvent[] {
  const { startMs, context } = run;
  const id = runId(named, startMs);
  if (endMs <= startMs) return [{ kind: "dropped", id }];
  return [
    { kind: "closed", run: { id, station, startMs, endMs, closedBy, segments: segmentsUntil(run, endMs), context } },
  ];
}

/**
 * The event that a run's beginning makes.
 *
 * @unit   ms since the epoch, source time
 * @source derived here
 */
export function opened(station: string, startMs: number, named: string = station): RunEvent {
  return { kind: "opened", id: runId(named, startMs), station, startMs };
}

function segmentsUntil(run: OpenRun, tMs: number): readonly Segment[] {
  if (run.segment === null || run.segment.fromMs >= tMs) return run.segments;
  return [...run.segments, { ...run.segment, toMs: tMs }];
}
