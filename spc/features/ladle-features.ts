import { type Outcome, ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor, RunTrace } from "../model/run.ts";
import { heightAt } from "../stats/line.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { type LadlePour, ladleLine, ladlePours, leastPours, pourAt } from "./ladle-pours.ts";
import { wholeRun } from "./window.ts";

/** Positions of the line that a cold ladle has hardly touched any more. */
const warmed = { from: 3, to: 8 };

/**
 * `ladle.first`: first metal of the ladle, from its first flask; the ladle decides it once, so it is charted once a ladle.
 *
 * @shape   a ladle run with its pours in `inside`, as in `ladlePours`; no settings
 * @unit    Cel
 * @method  `pour.T1` of position 1
 * @refuses those of `ladlePours`, `pourAt`
 * @throws  RangeError for any setting
 * @cost    O(n log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/ladle.test.ts
 */
export function ladleFirst(settings: Readonly<Record<string, number>>): FeatureExtractor {
  return ofPours("ladle.first", "Cel", settings, 5, (pours) => {
    const first = pourAt(pours, 1);
    return first.ok ? ok(first.value.cel) : first;
  });
}

/**
 * `ladle.slope`: how fast the metal cooled from flask to flask; below 0 where it cools.
 *
 * @shape   a ladle run with its pours in `inside`, as in `ladlePours`; no settings
 * @unit    K/min
 * @method  slope of `ladleLine`
 * @refuses those of `ladlePours`, `ladleLine`
 * @throws  RangeError for any setting
 * @cost    O(n^2 log n)
 * @source  Sen (1968), from memory
 * @checked tests/unit/spc/features/ladle.test.ts
 */
export function ladleSlope(settings: Readonly<Record<string, number>>): FeatureExtractor {
  return ofPours("ladle.slope", "K/min", settings, 1.5, (pours) => {
    const line = ladleLine(pours);
    return line.ok ? ok(line.value.slope) : line;
  });
}

/**
 * `ladle.residual.K`: how far flask K lay from the cooling line of its ladle.
 *
 * @shape   a ladle run with its pours in `inside`, as in `ladlePours`; position from 1; no settings
 * @unit    K
 * @method  first metal of position K minus `ladleLine` at its time
 * @refuses those of `ladlePours`, `pourAt`, `ladleLine`
 * @throws  RangeError for any setting
 * @cost    O(n^2 log n)
 * @source  Sen (1968), from memory
 * @checked tests/unit/spc/features/ladle.test.ts
 */
export function ladleResidual(position: number): (settings: Readonly<Record<string, number>>) => FeatureExtractor {
  return (settings) =>
    ofPours(`ladle.residual.${position}`, "K", settings, 6, (pours) => {
      const pour = pourAt(pours, position);
      if (!pour.ok) return pour;
      const line = ladleLine(pours);
      return line.ok ? ok(pour.value.cel - heightAt(line.value, pour.value.minute)) : line;
    });
}

/**
 * `ladle.first_minus_line`: what the first flask lacks of the line of the later ones: a cold ladle takes it from the first
 * flasks alone, a cold tap from all.
 *
 * @shape   a ladle run with its pours in `inside`, as in `ladlePours`; no settings
 * @unit    K
 * @method  first metal of position 1 minus `ladleLine` of positions 3 to 8 at its time
 * @refuses those of `ladlePours`, `pourAt`; `too-few` with fewer than four flasks of positions 3 to 8
 * @throws  RangeError for any setting
 * @cost    O(n^2 log n)
 * @source  Sen (1968), from memory; the positions: common practice, no source
 * @checked tests/unit/spc/features/ladle.test.ts
 */
export function ladleFirstMinusLine(settings: Readonly<Record<string, number>>): FeatureExtractor {
  return ofPours("ladle.first_minus_line", "K", settings, 8, (pours) => {
    const first = pourAt(pours, 1);
    if (!first.ok) return first;
    const line = ladleLine(pours.filter(({ position }) => position >= warmed.from && position <= warmed.to));
    return line.ok ? ok(first.value.cel - heightAt(line.value, first.value.minute)) : line;
  });
}

/**
 * `ladle.loss`: what the metal lost from the first flask to the last.
 *
 * @shape   a ladle run with its pours in `inside`, as in `ladlePours`; no settings
 * @unit    K
 * @method  first metal of position 1 minus that of the highest position
 * @refuses those of `wholeRun`, `ladlePours`, `pourAt`; `too-few` with fewer than four flasks
 * @throws  RangeError for any setting
 * @cost    O(n log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/ladle.test.ts
 */
export function ladleLoss(settings: Readonly<Record<string, number>>): FeatureExtractor {
  return ofPours("ladle.loss", "K", settings, 8, (pours, trace) => {
    const whole = wholeRun(trace.run);
    if (!whole.ok) return whole;
    const first = pourAt(pours, 1);
    if (!first.ok) return first;
    if (pours.length < leastPours) {
      return refuse("too-few", `a ladle's loss needs ${leastPours} flasks`, { needs: leastPours, has: pours.length });
    }
    const last = pourAt(pours, lastPosition(trace));
    return last.ok ? ok(first.value.cel - last.value.cel) : last;
  });
}

/** The highest position that any flask of the ladle told, with a first metal or without. */
function lastPosition({ inside = [] }: RunTrace): number {
  const positions = inside.map(({ run }) => Number(run.context["position"] ?? Number.NaN));
  return Math.max(...positions.filter(Number.isInteger));
}

function ofPours(
  id: string,
  unit: string,
  settings: Readonly<Record<string, number>>,
  plusMinus: number,
  of: (pours: readonly LadlePour[], trace: RunTrace) => Outcome<number>,
): FeatureExtractor {
  featureNumbers(id, settings, {});
  return guarded({
    id,
    version: id === "ladle.loss" ? 2 : 1,
    unit,
    roles: [],
    plusMinus,
    extract(trace: RunTrace) {
      const pours = ladlePours(trace);
      return pours.ok ? of(pours.value, trace) : pours;
    },
  });
}
