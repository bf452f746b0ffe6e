import { median } from "../stats/quantile.ts";
import type { Reading } from "./readings.ts";

/**
 * Running median: takes out spikes shorter than half its width and leaves edges where they are.
 *
 * @shape   readings in time order; width: an odd count of 3 or more; a window with a hole in it gives no value
 * @unit    that of the readings
 * @method  median of `width` neighbours, at the time of the middle one; only where the window is whole
 * @throws  RangeError for an even or smaller width: a defect in the caller
 * @cost    O(n w log w)
 * @source  Tukey, Exploratory Data Analysis (1977), from memory
 * @checked tests/unit/spc/features/median-filter.test.ts
 */
export function medianFiltered(readings: readonly Reading[], width: number, everyMs: number): readonly Reading[] {
  if (!(Number.isInteger(width) && width >= 3 && width % 2 === 1)) {
    throw new RangeError(`a running median needs an odd width of 3 or more, got ${width}`);
  }
  const filtered: Reading[] = [];
  for (let end = width; end <= readings.length; end += 1) {
    const window = readings.slice(end - width, end);
    const holed = window.some((each, i) => i > 0 && each.tMs - window[i - 1]!.tMs > 1.5 * everyMs);
    if (!holed) filtered.push({ tMs: window[(width - 1) / 2]!.tMs, value: median(window.map(({ value }) => value)) });
  }
  return filtered;
}

/**
 * Takes out single spikes and keeps every reading's place: the median of each reading and its two neighbours.
 *
 * @shape   readings in time order; the first and last stay as they are
 * @unit    that of the readings
 * @method  median of three
 * @cost    O(n)
 * @source  Tukey, Exploratory Data Analysis (1977), from memory
 * @checked tests/unit/spc/features/median-filter.test.ts
 */
export function withoutSpikes(readings: readonly Reading[]): readonly Reading[] {
  return readings.map((reading, i) => {
    const before = readings[i - 1];
    const after = readings[i + 1];
    if (before === undefined || after === undefined) return reading;
    return { tMs: reading.tMs, value: middle(before.value, reading.value, after.value) };
  });
}

function middle(a: number, b: number, c: number): number {
  return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
}
