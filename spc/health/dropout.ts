import type { Reading } from "../features/readings.ts";
import { firstPlace } from "../model/first-place.ts";
import type { HealthFinding } from "./finding.ts";
import { span } from "./shown-words.ts";

export interface DropoutInput {
  readonly readings: readonly Reading[];
  readonly fromMs: number;
  readonly toMs: number;
  readonly everyMs: number;
  /** All good readings of the station's other instruments in that time, in time order: what the gateway still sent. */
  readonly others: readonly Reading[];
}

/** A hole is longer than this many spacings: of single readings lost on the way at 0.2 % that is 1 in 100 million. */
const holeSpacings = 3;
const leastHoles = 3;
const leastReadings = 10;

/**
 * Dropout: holes in one instrument's readings. Where others of its station spoke meanwhile they are its own; where nobody
 * spoke, or there is nobody else, they may as well be the gateway's.
 *
 * @shape   good readings of fromMs <= t < toMs, in time order; 10 or more
 * @unit    ms
 * @method  holes longer than 3 spacings, three or more of them: `fault` where others spoke in most of them, `undecided`
 *          where there are no others, `well` where the others have the same holes: those are the gateway's
 * @cost    O(n)
 * @source  common practice, no source
 * @checked tests/unit/spc/health/run-checks.test.ts, tests/property/spc/health/run-checks.test.ts
 */
export function dropoutIn({ readings, fromMs, toMs, everyMs, others }: DropoutInput): HealthFinding | null {
  const check = "dropout";
  const inside = readings.filter(({ tMs }) => tMs >= fromMs && tMs < toMs);
  if (inside.length < leastReadings) return null;
  const holes = holesIn(inside, everyMs);
  if (holes.length < leastHoles) {
    return { check, verdict: "well", says: `${holes.length} holes in ${inside.length} readings` };
  }
  const longest = Math.max(...holes.map(([from, to]) => to - from));
  const says = `${holes.length} holes in ${inside.length} readings, the longest ${span(longest)}`;
  if (others.length === 0)
    return { check, verdict: "undecided", says: `${says}; nothing else tells whether the gateway spoke` };
  const own = holes.filter(([from, to]) => spokenIn(others, from, to));
  if (own.length * 2 <= holes.length) {
    return { check, verdict: "well", says: `${says}; its neighbours have them too, so they are the gateway's` };
  }
  return { check, verdict: "fault", says: `${says}; its neighbours spoke in ${own.length} of them` };
}

function holesIn(readings: readonly Reading[], everyMs: number): readonly (readonly [number, number])[] {
  const holes: (readonly [number, number])[] = [];
  for (let i = 1; i < readings.length; i += 1) {
    const [from, to] = [readings[i - 1]!.tMs, readings[i]!.tMs];
    if (to - from > holeSpacings * everyMs) holes.push([from, to]);
  }
  return holes;
}

/** In time order, so that the first at or after the beginning decides. */
function spokenIn(readings: readonly Reading[], fromMs: number, toMs: number): boolean {
  const next = readings[firstPlace(0, readings.length, (place) => readings[place]!.tMs <= fromMs)];
  return next !== undefined && next.tMs < toMs;
}
