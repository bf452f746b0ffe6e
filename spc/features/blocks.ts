import type { Reading } from "./readings.ts";
import type { Window } from "./window.ts";

/**
 * Cuts readings into whole blocks of even length from the start of a window; what is left at its end is left out.
 *
 * @shape  readings in time order; block `i` holds those of [from + i length, from + (i + 1) length)
 * @unit   that of the readings
 * @cost   O(n)
 * @source derived here
 */
export function blocksOf(readings: readonly Reading[], window: Window, lengthMs: number): readonly Reading[][] {
  const count = Math.max(0, Math.floor((window.toMs - window.fromMs) / lengthMs));
  const blocks: Reading[][] = Array.from({ length: count }, () => []);
  for (const reading of readings) blocks[Math.floor((reading.tMs - window.fromMs) / lengthMs)]?.push(reading);
  return blocks;
}
