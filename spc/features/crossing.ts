import { type Outcome, ok, refuse } from "../model/outcome.ts";
import type { Reading } from "./readings.ts";

/** Widest pair of neighbours that a crossing may be placed between, in spacings. */
const widest = 3;

/**
 * When a signal first reached a level, within one phase.
 *
 * @shape   readings of one phase in time order; the first may be at the level already, and is the answer then
 * @unit    ms since the epoch, source time
 * @method  straight line between the last reading below and the first at or above
 * @refuses `level-not-reached`; `hole-at-crossing` when those two readings are more than three spacings apart
 * @cost    O(n)
 * @source  derived here
 * @checked tests/unit/spc/features/mold.test.ts
 */
export function firstReached(readings: readonly Reading[], level: number, everyMs: number): Outcome<number> {
  const i = readings.findIndex(({ value }) => value >= level);
  const at = readings[i];
  if (at === undefined) return refuse("level-not-reached", `the readings never reach ${level}`);
  const before = readings[i - 1];
  return before === undefined ? ok(at.tMs) : crossing(before, at, level, everyMs);
}

/**
 * Time that a signal spent above a level, within one phase.
 *
 * @shape   readings of one phase in time order; before the first and after the last the signal is taken as there
 * @unit    ms
 * @method  straight lines between neighbours; a hole whose two ends lie above counts as above
 * @refuses `hole-at-crossing` when the signal crossed amid readings more than three spacings apart
 * @cost    O(n)
 * @source  derived here
 * @checked tests/unit/spc/features/mold.test.ts
 */
export function timeAbove(
  readings: readonly Reading[],
  level: number,
  phase: { readonly fromMs: number; readonly toMs: number },
  everyMs: number,
): Outcome<number> {
  const [first, last] = [readings[0], readings.at(-1)];
  if (first === undefined || last === undefined) return ok(0);
  let totalMs = 0;
  const held = [{ ...first, tMs: phase.fromMs }, ...readings, { ...last, tMs: phase.toMs }];
  for (const [i, to] of held.entries()) {
    const from = held[i - 1];
    if (from === undefined) continue;
    const [wasAbove, isAbove] = [from.value > level, to.value > level];
    if (wasAbove && isAbove) totalMs += to.tMs - from.tMs;
    if (wasAbove === isAbove) continue;
    const atMs = crossing(from, to, level, everyMs);
    if (!atMs.ok) return atMs;
    totalMs += wasAbove ? atMs.value - from.tMs : to.tMs - atMs.value;
  }
  return ok(totalMs);
}

function crossing(from: Reading, to: Reading, level: number, everyMs: number): Outcome<number> {
  const apartMs = to.tMs - from.tMs;
  if (apartMs > widest * everyMs) {
    return refuse("hole-at-crossing", `readings are missing for ${apartMs} ms where the signal crosses ${level}`, {
      needs: widest * everyMs,
      has: apartMs,
    });
  }
  return ok(from.tMs + (apartMs * (level - from.value)) / (to.value - from.value));
}
