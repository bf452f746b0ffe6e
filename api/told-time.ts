import type { Mistake } from "./problem.ts";
import { instant } from "./read-model/wire-form.ts";

/** Clocks of phones and people run ahead a little. */
const AHEAD_MS = 60_000;
const OLDEST_MS = Date.UTC(2000, 0, 1);

/** What is wrong with a time at which somebody says that something was: none in the future, and none that is a slip. */
export function toldTimeMistakes(place: string, atMs: number, nowMs: number): readonly Mistake[] {
  const wrong = (expected: string): readonly Mistake[] => [{ place, found: instant(atMs), expected }];
  if (atMs > nowMs + AHEAD_MS) return wrong("a time that has passed");
  return atMs < OLDEST_MS ? wrong("a time after the year 2000") : [];
}
