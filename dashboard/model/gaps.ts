import type { StripPoint } from "./floor.ts";

/** Where a line must break before a point, and why. */
export interface Break {
  /** Index of the first point after the gap. */
  readonly at: number;
  readonly reason: string;
}

/**
 * Breaks between drawn points. The moving-range chart says where its memory was dropped: a point with a value but
 * without a range, though the one before it had a value, follows a silence of more than three expected intervals. The
 * first streamed point after imported ones starts a line of its own, without a hatch: nothing was missed there.
 */
export function breaks(points: readonly StripPoint[]): readonly Break[] {
  const found: Break[] = [];
  for (let at = 1; at < points.length; at++) {
    const before = points[at - 1]!;
    const here = points[at]!;
    if (here.location.value === null || before.location.value === null || here.spread.value !== null) continue;
    found.push({ at, reason: before.imported && !here.imported ? "" : "no runs" });
  }
  return found;
}

/** Runs of indices joined by a line, none across a missing value or a break. */
export function stretches(points: readonly StripPoint[]): readonly (readonly number[])[] {
  const broken = new Set(breaks(points).map((one) => one.at));
  const found: number[][] = [];
  let open: number[] = [];
  points.forEach((point, index) => {
    if (point.location.value === null || broken.has(index)) {
      if (open.length > 0) found.push(open);
      open = [];
    }
    if (point.location.value !== null) open.push(index);
  });
  if (open.length > 0) found.push(open);
  return found;
}
