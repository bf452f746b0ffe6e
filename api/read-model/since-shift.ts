import { flagsByChance } from "../../spc/price/pair-price.ts";
import type { WireFloor } from "../contract/wire.ts";
import { type Charted, limitsInForce } from "./charted.ts";
import type { ReadModel } from "./read-model.ts";

/**
 * Flags that opened and were closed since then, and how many flags chance alone gives in as many judged points. An
 * instrument's silence is no chart's flag and is not counted. Of a characteristic with more points than are at hand,
 * those at hand count.
 */
export function sinceShift(model: ReadModel, sinceMs: number, nowMs: number): WireFloor["sinceShift"] {
  let flags = 0;
  let done = 0;
  for (const flag of model.book.states()) {
    if (flag.characteristic === null) continue;
    if (flag.first.atMs >= sinceMs) flags += 1;
    if (flag.done !== null && flag.done.atMs >= sinceMs) done += 1;
  }
  let chance = 0;
  for (const charted of model.charted()) {
    const limits = limitsInForce(charted, nowMs);
    if (limits !== undefined) chance += flagsByChance(judgedSince(charted, sinceMs), limits);
  }
  return { flags, done, chance };
}

function judgedSince({ recent }: Charted, sinceMs: number): number {
  let count = 0;
  for (let i = recent.length - 1; i >= 0; i--) {
    const point = recent[i];
    if (point === undefined || point.atMs < sinceMs) break;
    if (point.location.verdict !== "not-evaluable") count += 1;
  }
  return count;
}
