import { flagsByChance } from "../../spc/price/pair-price.ts";
import { untoldRate } from "../../spc/price/untold-rate.ts";
import type { WireFloor } from "../contract/wire.ts";
import { type Charted, limitsInForce } from "./charted.ts";
import type { ReadModel } from "./read-model.ts";

/**
 * Flags that opened and were closed since then, and how many flags chance alone gives in as many judged points, with the
 * number of charts judged since then whose limits tell no rate. An instrument's silence is no chart's flag and is not counted. Of a characteristic with more points than are at hand,
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
  let untold = 0;
  for (const charted of model.charted()) {
    const limits = limitsInForce(charted, nowMs);
    if (limits === undefined) continue;
    const judged = judgedSince(charted, sinceMs);
    if (untoldRate(limits.diagnostics) === null) chance += flagsByChance(judged, limits);
    else if (judged > 0) untold += 1;
  }
  return { flags, done, chance, untold };
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
