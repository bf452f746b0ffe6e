import type { Reading } from "../../../../spc/features/readings.ts";
import type { Stage } from "../../../../spc/model/stage.ts";
import { advance } from "../../../../spc/model/stage.ts";

/** Readings of these values, evenly spaced from 0 ms. */
export function readingsOf(values: readonly number[], everyMs: number = 1_000): readonly Reading[] {
  return values.map((value, i) => ({ tMs: i * everyMs, value }));
}

/** What a stage says of these readings. */
export function saidOf<State, Out>(
  stage: Stage<State, Reading, Out>,
  values: readonly number[],
  everyMs?: number,
): readonly Out[] {
  return advance(stage, readingsOf(values, everyMs)).out;
}

/** The same value so many times. */
export function same(value: number, count: number): number[] {
  return new Array<number>(count).fill(value);
}
