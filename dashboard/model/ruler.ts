import { scaleLinear } from "d3-scale";

/** The one ruler: a value's height in a strip whose limits stand at 20 % and 80 % of it. */
export interface Ruler {
  /** From 0 (top) to `height`; what lies outside is held at the edge. */
  y(value: number): number;
  /** True when the value lies beyond the edge and is drawn there with its number. */
  beyond(value: number): boolean;
  /** Values at the bottom and top edge. */
  readonly domain: readonly [number, number];
}

/** What fixes the scale: the limits in force, or, while there are none, the values themselves. */
export interface Span {
  readonly lower: number;
  readonly upper: number;
}

export function ruler(span: Span, height: number): Ruler {
  const width = span.upper - span.lower;
  const room = (width > 0 ? width : Math.max(Math.abs(span.upper), 1) * 0.1) / 3;
  const domain: [number, number] =
    width > 0
      ? [span.lower - room, span.upper + room]
      : [(span.lower + span.upper) / 2 - 2.5 * room, (span.lower + span.upper) / 2 + 2.5 * room];
  const scale = scaleLinear().domain(domain).range([height, 0]).clamp(true);
  return {
    domain,
    y: (value) => scale(value),
    beyond: (value) => value < domain[0] || value > domain[1],
  };
}

/** Extent of the values there are, as a stand-in span; null when there is none. */
export function spanOf(values: readonly (number | null)[]): Span | null {
  let lower = Number.POSITIVE_INFINITY;
  let upper = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    if (value === null) continue;
    lower = Math.min(lower, value);
    upper = Math.max(upper, value);
  }
  return lower <= upper ? { lower, upper } : null;
}
