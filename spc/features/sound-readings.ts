import { median } from "../stats/quantile.ts";
import type { Reading } from "./readings.ts";

/** Shortest stretch of equal readings that may be one of an instrument that stood still. */
const leastStuck = 10;
/** Chance in a run that a healthy signal makes a stretch as long. Our own choice. */
const stuckChance = 1e-6;
/** A spike stands out of both neighbours by more than so many times the usual step between readings. */
const spikeTimes = 8;

/**
 * Takes out stretches through which the instrument stood still: a frozen reading is a missing one.
 *
 * @shape   readings of the whole run, in time order
 * @unit    that of the readings
 * @method  q: how often a reading equals the one before it, outside the longest stretch; a stretch of ten or more, and so
 *          long that sqrt(q), for a signal rests more in one place than in another, would make one in 10^6 runs, is left
 *          out but for its first reading. A slow signal of coarse steps has long stretches anyway, and keeps them; one
 *          that never moved at all is left as it is, for its caller says so
 * @cost    O(n)
 * @source  common practice, no source; both numbers are our own
 * @checked tests/unit/spc/features/sound-readings.test.ts
 */
export function withoutStuck(readings: readonly Reading[]): readonly Reading[] {
  const lengths: number[] = [];
  for (const [i, { value }] of readings.entries()) {
    if (i > 0 && readings[i - 1]!.value === value) lengths[lengths.length - 1]! += 1;
    else lengths.push(1);
  }
  if (lengths.length < 2) return readings;
  const longest = lengths.reduce((a, b) => Math.max(a, b), 0);
  const others = readings.length - longest;
  const equal = Math.max(0.01, (others - lengths.length + 1) / Math.max(1, others));
  const stuck = Math.max(leastStuck, 1 + Math.log(stuckChance / readings.length) / Math.log(Math.sqrt(equal)));
  if (longest < stuck) return readings;
  const kept: Reading[] = [];
  let i = 0;
  for (const length of lengths) {
    kept.push(...readings.slice(i, i + (length < stuck ? length : 1)));
    i += length;
  }
  return kept;
}

/**
 * Takes out single readings that stand far out of both neighbours: a spike is a missing reading, never a value.
 *
 * @shape   readings of the whole run, in time order; the first and last stay
 * @unit    that of the readings
 * @method  distance from the median of three above 8 times the usual step, which is the larger of the scaled median and
 *          half the mean of the absolute steps: noise reaches that in no run, and a ramp or an edge has no such distance
 * @cost    O(n log n)
 * @source  after Hampel, J. Am. Stat. Assoc. 69 (1974) 383-393 (from memory); the numbers are our own
 * @checked tests/unit/spc/features/sound-readings.test.ts
 */
export function withoutLoneSpikes(readings: readonly Reading[]): readonly Reading[] {
  if (readings.length < 5) return readings;
  const steps = readings.slice(1).map(({ value }, i) => Math.abs(value - readings[i]!.value));
  const mean = steps.reduce((total, step) => total + step / steps.length, 0);
  const far = spikeTimes * Math.max(1.4826 * median(steps), 0.5 * mean);
  const last = readings.length - 1;
  return readings.filter(({ value }, i) => {
    if (i === 0 || i === last) return true;
    const [before, after] = [readings[i - 1]!.value, readings[i + 1]!.value];
    const low = Math.min(before, after) - value;
    const high = value - Math.max(before, after);
    return !(Math.max(low, high) > far);
  });
}

/**
 * The values at which a signal was cut off, at the ends of its instrument's range: bounds, and no readings.
 *
 * @shape   readings of the whole run
 * @unit    that of the readings; none, one or both ends
 * @method  50 readings of 10 or more distinct values; ten or more of them equal the highest (or lowest), more than three times
 *          as many as the next value holds, in three stretches or more: a signal that only settles there comes once
 * @cost    O(n log n)
 * @source  common practice, no source; the numbers are our own
 * @checked tests/unit/spc/features/sound-readings.test.ts
 */
export function clippedAt(readings: readonly Reading[]): readonly number[] {
  if (readings.length < 50) return [];
  const counts = new Map<number, number>();
  for (const { value } of readings) counts.set(value, (counts.get(value) ?? 0) + 1);
  if (counts.size < 10) return [];
  const values = [...counts.keys()].sort((a, b) => a - b);
  const ends = [
    { end: values[0]!, next: values[1]! },
    { end: values.at(-1)!, next: values.at(-2)! },
  ];
  return ends.flatMap(({ end, next }) => {
    const [at, beside] = [counts.get(end)!, counts.get(next)!];
    if (at < 10 || at <= 3 * beside) return [];
    const stretches = readings.filter(({ value }, i) => value === end && readings[i - 1]?.value !== end).length;
    return stretches >= 3 ? [end] : [];
  });
}
