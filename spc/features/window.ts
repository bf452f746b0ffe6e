import { type Outcome, ok, refuse } from "../model/outcome.ts";
import type { Run } from "../model/run.ts";

/** A stretch of a run that a feature rests on; half open. */
export interface Window {
  /** As refusals call it: `autoclave`, `the soak`. */
  readonly name: string;
  readonly fromMs: number;
  readonly toMs: number;
}

/**
 * The named segment of a run; where it came more than once, the last.
 *
 * @unit    ms since the epoch, source time
 * @refuses `segment-missing` when the run has none of that name; `run-cut-short` when a timeout or gap ended it, so that
 *          its true end was not seen
 * @source  derived here
 * @checked tests/unit/spc/features/window.test.ts
 */
export function segmentWindow(run: Run, name: string): Outcome<Window> {
  const segment = run.segments.findLast((each) => each.name === name);
  if (segment === undefined) return refuse("segment-missing", `the run has no segment ${name}`);
  if (cutShort(run) && segment.toMs >= run.endMs) {
    return refuse("run-cut-short", `the end of ${name} was not seen: the run was closed by ${run.closedBy}`);
  }
  return ok(segment);
}

/**
 * The whole run, for features that need its beginning and its end.
 *
 * @unit    ms since the epoch, source time
 * @refuses `run-cut-short` when a timeout or gap ended it
 * @source  derived here
 * @checked tests/unit/spc/features/window.test.ts
 */
export function wholeRun(run: Run): Outcome<Window> {
  if (cutShort(run)) {
    return refuse("run-cut-short", `the end of the run was not seen: it was closed by ${run.closedBy}`);
  }
  return ok({ name: "the run", fromMs: run.startMs, toMs: run.endMs });
}

/**
 * The last stretch of a window.
 *
 * @shape   lengthMs above 0
 * @unit    ms since the epoch, source time
 * @refuses `segment-too-short` when the window is shorter
 * @source  derived here
 */
export function lastOf(window: Window, lengthMs: number): Outcome<Window> {
  const { name, fromMs, toMs } = window;
  const long = longEnough(window, lengthMs);
  return long.ok ? ok({ name: `the end of ${name}`, fromMs: Math.max(fromMs, toMs - lengthMs), toMs }) : long;
}

/**
 * A window, provided that it lasted.
 *
 * @shape   lengthMs above 0
 * @unit    ms since the epoch, source time
 * @refuses `segment-too-short` when it is shorter
 * @source  derived here
 */
export function longEnough(window: Window, lengthMs: number): Outcome<Window> {
  const lastedMs = window.toMs - window.fromMs;
  if (lastedMs >= lengthMs) return ok(window);
  return refuse("segment-too-short", `${window.name} lasted ${lastedMs / 1000} s of the ${lengthMs / 1000} s needed`, {
    needs: lengthMs / 1000,
    has: lastedMs / 1000,
  });
}

function cutShort(run: Run): boolean {
  return run.closedBy === "timeout" || run.closedBy === "gap";
}
