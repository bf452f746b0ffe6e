import { firstPlace } from "../model/first-place.ts";
import { type Outcome, ok, refuse } from "../model/outcome.ts";
import type { RunTrace } from "../model/run.ts";
import type { Sample } from "../model/sample.ts";
import { clippedAt, withoutDropouts, withoutLoneSpikes, withoutStuck } from "./sound-readings.ts";
import type { Window } from "./window.ts";

/** A reading that counts: a number, of good quality. */
export interface Reading {
  readonly tMs: number;
  readonly value: number;
}

/** Share of a window that good readings must cover. Common practice, no source. */
export const leastCoverage = 0.9;

/** So many readings without the least change come from an instrument that has stopped measuring. */
const stuckFrom = 10;

/**
 * Good readings of one role in a window, provided that they cover it.
 *
 * @shape   a trace with readings in time order; of two at one time the first counts
 * @unit    that of the role's series
 * @method  dropouts, frozen stretches and lone spikes count as missing. Coverage: 1 minus the missing share, which is the larger of
 *          readings lacking by count, and time lacking between neighbours more than 1.5 spacings apart; so neither a
 *          burst nor jitter hides or makes a hole
 * @refuses `role-missing` when the trace has no such role; `signal-stuck` when all of ten or more good readings of the
 *          run are equal, or when frozen stretches make up the tenth; `coverage-too-low` when more than a tenth of the window is bad or missing; `signal-clipped` when
 *          more than a tenth of the window's readings are cut off at an end of the range
 * @cost    O(n log n), once a role of a trace
 * @source  derived here; the tenth is common practice, no source
 * @checked tests/unit/spc/features/readings.test.ts, tests/property/spc/features/features.test.ts
 */
export function coveredReadings(
  trace: RunTrace,
  role: string,
  window: Window,
  { spikes = "left-out" }: { readonly spikes?: "left-out" | "kept" } = {},
): Outcome<readonly Reading[]> {
  const spacing = spacingOf(trace, role);
  if (!spacing.ok) return spacing;
  const all = heardReadings(trace, role);
  if (all.length >= stuckFrom && all.every(({ value }) => value === all[0]?.value)) {
    return refuse("signal-stuck", `${role} did not change once in ${all.length} readings of the run`);
  }
  const moving = movingReadings(trace, role);
  const sound = spikes === "kept" ? moving : soundReadings(trace, role);
  const inside = within(sound, window);
  const coverage = coverageOf(inside, window, spacing.value);
  // The slack keeps exactly one tenth, which is allowed, from being refused over a rounding.
  if (inside.length > 0 && coverage >= leastCoverage - 1e-9) {
    const ends = clippedEnds(trace, role);
    const pinned = ends.length === 0 ? 0 : inside.filter(({ value }) => ends.includes(value)).length;
    return pinned > 0.1 * inside.length
      ? refuse("signal-clipped", `${role} is cut off at one end of its range in ${window.name}`)
      : ok(inside);
  }
  if (moving !== all && !covers(moving, window, spacing.value) && covers(all, window, spacing.value)) {
    return refuse("signal-stuck", `${role} stood still for more than a tenth of ${window.name}`);
  }
  return refuse("coverage-too-low", `${role} has good readings for ${percent(coverage)} of ${window.name}`, {
    needs: leastCoverage,
    has: coverage,
  });
}

function covers(readings: readonly Reading[], window: Window, everyMs: number): boolean {
  return coverageOf(within(readings, window), window, everyMs) >= leastCoverage - 1e-9;
}

/** A dozen features ask for windows of the same readings, so each looks up where its own begin and end. */
function within(readings: readonly Reading[], { fromMs, toMs }: Window): readonly Reading[] {
  return readings.slice(placeOf(readings, fromMs), placeOf(readings, toMs));
}

/** Place of the first reading at or after a time. */
function placeOf(readings: readonly Reading[], tMs: number): number {
  return firstPlace(0, readings.length, (place) => readings[place]!.tMs < tMs);
}

/**
 * Share of a window that readings cover, 0 to 1.
 *
 * @shape   readings of the window, in time order
 * @unit    1
 * @method  as in `coveredReadings`
 * @cost    O(n)
 * @source  derived here
 * @checked tests/unit/spc/features/readings.test.ts
 */
export function coverageOf(inside: readonly Reading[], window: Window, everyMs: number): number {
  const spanMs = window.toMs - window.fromMs;
  if (inside.length === 0 || !(spanMs > 0)) return 0;
  const lackingByCount = (Math.floor(spanMs / everyMs) - inside.length) * everyMs;
  let lackingByTime = 0;
  let before = window.fromMs;
  for (const { tMs } of inside) {
    if (tMs - before > 1.5 * everyMs) lackingByTime += tMs - before - everyMs;
    before = tMs;
  }
  if (window.toMs - before > 1.5 * everyMs) lackingByTime += window.toMs - before - everyMs;
  return Math.max(0, Math.min(1, 1 - Math.max(lackingByCount, lackingByTime) / spanMs));
}

/**
 * Good readings of a role, whole run.
 *
 * @shape  a trace with readings in time order; of two at one time the first counts
 * @unit   that of the role's series
 * @source derived here
 */
export function goodReadings(trace: RunTrace, role: string): readonly Reading[] {
  const samples = samplesOf(trace, role);
  return samples === undefined ? [] : remembered(known, samples, () => goodOf(samples));
}

/**
 * Good readings of a role, whole run, without dropouts, frozen stretches and lone spikes.
 *
 * @shape  a trace with readings in time order; of two at one time the first counts
 * @unit   that of the role's series
 * @source derived here
 */
export function soundReadings(trace: RunTrace, role: string): readonly Reading[] {
  const moving = movingReadings(trace, role);
  return remembered(sounded, moving, () => withoutLoneSpikes(moving));
}

function clippedEnds(trace: RunTrace, role: string): readonly number[] {
  const heard = heardReadings(trace, role);
  const found = clipped.get(heard);
  if (found !== undefined) return found;
  const made = clippedAt(heard);
  clipped.set(heard, made);
  return made;
}

function movingReadings(trace: RunTrace, role: string): readonly Reading[] {
  const heard = heardReadings(trace, role);
  return remembered(moved, heard, () => withoutStuck(heard));
}

function heardReadings(trace: RunTrace, role: string): readonly Reading[] {
  const good = goodReadings(trace, role);
  return remembered(dropless, good, () => withoutDropouts(good));
}

/**
 * What counts of a list of samples: numbers of good quality.
 *
 * @shape  samples in time order; of two at one time the first counts
 * @unit   that of the samples
 * @source derived here
 */
export function goodOf(samples: readonly Sample[]): readonly Reading[] {
  const good: Reading[] = [];
  let lastMs = Number.NEGATIVE_INFINITY;
  for (const { tMs, value, quality } of samples) {
    if (value === null || quality !== "good" || !Number.isFinite(value) || tMs <= lastMs) continue;
    good.push({ tMs, value });
    lastMs = tMs;
  }
  return good;
}

/**
 * Expected spacing of a role's readings.
 *
 * @unit    ms
 * @refuses `role-missing` when the trace does not hold the role or its spacing
 * @source  derived here
 */
export function spacingOf(trace: RunTrace, role: string): Outcome<number> {
  const everyMs = Object.hasOwn(trace.everyMs, role) ? trace.everyMs[role] : undefined;
  if (samplesOf(trace, role) === undefined || everyMs === undefined || !(everyMs > 0)) {
    return refuse("role-missing", `the run has no readings called ${role}, or their spacing is not known`);
  }
  return ok(everyMs);
}

/** A dozen features read the same role of the same trace: what follows from its samples is worked out once. */
const known = new WeakMap<object, readonly Reading[]>();
const clipped = new WeakMap<object, readonly number[]>();
const dropless = new WeakMap<object, readonly Reading[]>();
const moved = new WeakMap<object, readonly Reading[]>();
const sounded = new WeakMap<object, readonly Reading[]>();

function remembered(
  memory: WeakMap<object, readonly Reading[]>,
  of: object,
  work: () => readonly Reading[],
): readonly Reading[] {
  const found = memory.get(of);
  if (found !== undefined) return found;
  const made = work();
  memory.set(of, made);
  return made;
}

function samplesOf(trace: RunTrace, role: string): RunTrace["samples"][string] | undefined {
  return Object.hasOwn(trace.samples, role) ? trace.samples[role] : undefined;
}

function percent(share: number): string {
  return `${Math.floor(share * 100)} %`;
}
