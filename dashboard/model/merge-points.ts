import type { StripPoint } from "./floor.ts";

/**
 * Points known so far joined by newly come ones: each run once, in the order of their places, the newest `most` kept.
 * A point that comes again replaces the one there was, so resending after a gap does no harm.
 */
export function mergePoints(known: readonly StripPoint[], come: readonly StripPoint[], most: number): StripPoint[] {
  const byRun = new Map(known.map((point) => [point.run, point]));
  for (const point of come) byRun.set(point.run, point);
  const merged = [...byRun.values()].sort((a, b) => a.subgroup - b.subgroup || a.at.localeCompare(b.at));
  return merged.slice(Math.max(0, merged.length - most));
}
