import { median } from "../stats/quantile.ts";
import type { Reading } from "./readings.ts";

/** Shortest stretch of equal readings that may be one of an instrument that stood still. */
const leastStuck = 10;
/** Chance in a run that a healthy signal makes a stretch as long. Our own choice. */
const stuckChance = 1e-6;
/** A spike stands out of both neighbours by more than so many times the usual step between readings. */
const spikeTimes = 8;
/** A longer fall to nothing may be the process, which was switched off; not so often in one run. */
const shortDrop = 3;
const leastDrops = 3;

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
  for (let i = 0; i < readings.length; i += 1) {
    if (i > 0 && readings[i - 1]!.value === readings[i]!.value) lengths[lengths.length - 1]! += 1;
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
 * Takes out readings of exactly nothing amid others that are far from it: a cable that comes loose reads 0, and measures
 * nothing meanwhile.
 *
 * @shape   readings of the whole run, in time order
 * @unit    that of the readings
 * @method  stretches of 0 that the readings fall to and rise from in one step, each step above 8 times the usual one between
 *          readings that are not 0; stretches of up to three readings, or three stretches and more; one at an end of
 *          the run only beside another within it. A signal that rests about 0, passes it, or was switched off once or twice,
 *          keeps its readings
 * @cost    O(n log n), O(n) without a stretch of 0
 * @source  common practice, no source; the numbers are our own
 * @checked tests/unit/spc/features/sound-readings.test.ts
 */
export function withoutDropouts(readings: readonly Reading[]): readonly Reading[] {
  const drops = stretchesOfNothing(readings);
  if (!drops.some(({ inner }) => inner)) return readings;
  const steps: number[] = [];
  for (let i = 1; i < readings.length; i += 1) {
    const [a, b] = [readings[i - 1]!.value, readings[i]!.value];
    if (a !== 0 && b !== 0) steps.push(Math.abs(b - a));
  }
  const far = steps.length === 0 ? 0 : usualStep(Float64Array.from(steps)) * spikeTimes;
  const fallen = drops.filter(({ jump }) => jump > far);
  const often = fallen.filter(({ inner }) => inner).length >= leastDrops;
  const loose = fallen.filter(({ from, to }) => often || to - from <= shortDrop);
  if (!loose.some(({ inner }) => inner)) return readings;
  let next = 0;
  return readings.filter((_, i) => {
    while (next < loose.length && loose[next]!.to <= i) next += 1;
    return next === loose.length || i < loose[next]!.from;
  });
}

interface Drop {
  /** Places in the list, `to` not included. */
  readonly from: number;
  readonly to: number;
  /** The smaller of the steps into it and out of it. */
  readonly jump: number;
  /** Something stands before it and after it. */
  readonly inner: boolean;
}

function stretchesOfNothing(readings: readonly Reading[]): readonly Drop[] {
  const drops: Drop[] = [];
  for (let i = 0; i < readings.length; i += 1) {
    if (readings[i]!.value !== 0) continue;
    const from = i;
    while (i < readings.length && readings[i]!.value === 0) i += 1;
    const sides = [readings[from - 1], readings[i]].flatMap((one) => (one === undefined ? [] : [Math.abs(one.value)]));
    if (sides.length > 0) drops.push({ from, to: i, jump: Math.min(...sides), inner: sides.length === 2 });
  }
  return drops;
}

/** Larger of the scaled median and half the mean of the absolute steps between neighbours. */
function usualStep(steps: Float64Array): number {
  let total = 0;
  for (const step of steps) total += step;
  return Math.max(1.4826 * median(steps), (0.5 * total) / steps.length);
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
  const steps = new Float64Array(readings.length - 1);
  for (let i = 0; i < steps.length; i += 1) steps[i] = Math.abs(readings[i + 1]!.value - readings[i]!.value);
  const far = spikeTimes * usualStep(steps);
  const isSpike = (i: number): boolean => {
    if (i === 0 || i === readings.length - 1) return false;
    const before = readings[i - 1]!.value;
    const after = readings[i + 1]!.value;
    const { value } = readings[i]!;
    return Math.min(before, after) - value > far || value - Math.max(before, after) > far;
  };
  const kept = readings.filter((_, i) => !isSpike(i));
  return kept.length === readings.length ? readings : kept;
}

/**
 * The values at which a signal was cut off, at the ends of its instrument's range: bounds, and no readings.
 *
 * @shape   readings of the whole run
 * @unit    that of the readings; none, one or both ends
 * @method  50 readings of 10 or more distinct values; ten or more of them equal the highest (or lowest), more than three times
 *          as many as the next value holds, in three stretches or more: a signal that only settles there comes once
 * @cost    O(n)
 * @source  common practice, no source; the numbers are our own
 * @checked tests/unit/spc/features/sound-readings.test.ts
 */
export function clippedAt(readings: readonly Reading[]): readonly number[] {
  if (readings.length < 50) return [];
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const { value } of readings) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  const ends = [low, high].filter((end) => isCutAt(readings, end));
  return ends.length > 0 && hasDistinct(readings, 10) ? ends : [];
}

function isCutAt(readings: readonly Reading[], end: number): boolean {
  let [at, stretches, beside] = [0, 0, 0];
  let next: number | null = null;
  let before: number | null = null;
  for (const { value } of readings) {
    if (value === end) {
      at += 1;
      if (before !== end) stretches += 1;
    } else if (next === null || Math.abs(value - end) < Math.abs(next - end)) {
      next = value;
      beside = 1;
    } else if (value === next) beside += 1;
    before = value;
  }
  return at >= 10 && at > 3 * beside && stretches >= 3;
}

function hasDistinct(readings: readonly Reading[], count: number): boolean {
  const values = new Set<number>();
  for (const { value } of readings) {
    values.add(value);
    if (values.size >= count) return true;
  }
  return false;
}
