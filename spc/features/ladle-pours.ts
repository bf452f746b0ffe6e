import { type Outcome, ok, refuse } from "../model/outcome.ts";
import type { RunTrace } from "../model/run.ts";
import { type Line, type Pair, robustLine } from "../stats/line.ts";

/** First metal of one flask of a ladle. */
export interface LadlePour {
  readonly position: number;
  /** Minutes since the ladle began. */
  readonly minute: number;
  readonly cel: number;
}

/** Fewest flasks that a line is laid through. */
export const leastPours = 4;

/**
 * First metal of the flasks of a ladle, by position.
 *
 * @shape   a run of a ladle with its pours in `inside`; each tells its `position` (1, 2, ...) and its `pour.T1`
 * @unit    Cel
 * @method  a pour without position, or without a first metal, is left out; of two at one position the first counts
 * @refuses `no-pours` when none is left
 * @cost    O(n log n)
 * @source  derived here
 * @checked tests/unit/spc/features/ladle.test.ts
 */
export function ladlePours(trace: RunTrace): Outcome<readonly LadlePour[]> {
  const pours: LadlePour[] = [];
  for (const { run, features } of trace.inside ?? []) {
    const position = Number(run.context["position"] ?? Number.NaN);
    const cel = features.find(({ feature }) => feature === "pour.T1")?.value ?? null;
    if (!Number.isInteger(position) || position < 1 || cel === null || !Number.isFinite(cel)) continue;
    if (pours.some((pour) => pour.position === position)) continue;
    pours.push({ position, minute: (run.startMs - trace.run.startMs) / 60_000, cel });
  }
  if (pours.length === 0) return refuse("no-pours", "no flask of the ladle gave a first metal and its position");
  return ok(pours.sort((a, b) => a.position - b.position));
}

/**
 * Line of a ladle's cooling: first metal over time, laid so that one flask out of line does not move it.
 *
 * @shape   pours as in `ladlePours`
 * @unit    Cel over min
 * @method  Theil and Sen
 * @refuses `too-few` with fewer than four flasks; those of `robustLine`
 * @cost    O(n^2 log n)
 * @source  Sen, J. Am. Stat. Assoc. 63 (1968) 1379-1389 (from memory)
 * @checked tests/unit/spc/features/ladle.test.ts
 */
export function ladleLine(pours: readonly LadlePour[]): Outcome<Line> {
  if (pours.length >= leastPours) return robustLine(pours.map(({ minute, cel }): Pair => [minute, cel]));
  const detail = `the line of a ladle needs ${leastPours} flasks`;
  return refuse("too-few", detail, { needs: leastPours, has: pours.length });
}

/**
 * First metal of one flask of a ladle.
 *
 * @shape   pours as in `ladlePours`; position from 1
 * @unit    Cel
 * @refuses `no-pours` when that flask gave none
 * @source  derived here
 */
export function pourAt(pours: readonly LadlePour[], position: number): Outcome<LadlePour> {
  const found = pours.find((pour) => pour.position === position);
  return found === undefined ? refuse("no-pours", `flask ${position} of the ladle gave no first metal`) : ok(found);
}
