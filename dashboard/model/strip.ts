import { line } from "d3-shape";
import type { WireFlag, WireFloorCharacteristic } from "../../api/contract/wire.ts";
import { ringLabel } from "./flag-words.ts";
import type { StripPoint } from "./floor.ts";
import { breaks, stretches } from "./gaps.ts";
import { figure } from "./numbers.ts";
import { ruler, spanOf } from "./ruler.ts";

/** A strip ready to draw, in pixels. */
export interface StripModel {
  readonly width: number;
  readonly height: number;
  /** All stretches in one path, so that a strip costs one element however many points it has. */
  readonly path: string;
  /** Points with a value, drawn on the line. */
  readonly drawn: number;
  /** Null while there are no limits: no line is made up. */
  readonly limits: { readonly upper: number; readonly lower: number; readonly centre: number } | null;
  readonly rings: readonly StripRing[];
  /** The newest value of those beyond the edge, beside the leftmost ring that would lie under its figures. */
  readonly beyond: { readonly x: number; readonly y: number; readonly text: string } | null;
  readonly gaps: readonly { readonly from: number; readonly to: number }[];
  readonly last: { readonly x: number; readonly y: number } | null;
}

/** The hatch of a silence between two neighbours: wide enough to be seen, however close they stand. */
export function hatchBetween(before: number, after: number): { readonly from: number; readonly to: number } {
  const middle = (before + after) / 2;
  const half = Math.max(3.5, (after - before) * 0.3);
  return { from: middle - half, to: middle + half };
}

export interface StripRing {
  readonly x: number;
  readonly y: number;
  readonly label: WireFlag["label"];
  /** The value, where it lies beyond the edge of the strip. */
  readonly beyond: string | null;
}

/** Room that the figures of a value need left of a ring. */
const figuresWide = 42;

function beyondOf(rings: readonly StripRing[], height: number): StripModel["beyond"] {
  const newest = rings.findLast((ring) => ring.beyond !== null);
  if (newest === undefined) return null;
  const low = newest.y > height / 2;
  let x = newest.x;
  for (const ring of rings.toReversed())
    if (ring.x < x && ring.x > x - figuresWide && ring.y > height / 2 === low) x = ring.x;
  return { x, y: newest.y, text: newest.beyond! };
}

export interface StripSize {
  readonly width: number;
  readonly height: number;
  /** Room right of the newest point. */
  readonly right: number;
  /** Places on the axis. */
  readonly places: number;
}

export function stripModel(
  characteristic: WireFloorCharacteristic,
  points: readonly StripPoint[],
  flags: ReadonlyMap<string, WireFlag>,
  size: StripSize,
): StripModel {
  const shown = points.slice(-size.places);
  const lines = characteristic.limits?.location ?? null;
  const scale = ruler(
    lines ?? spanOf(shown.map((point) => point.location.value)) ?? { lower: 0, upper: 0 },
    size.height,
  );
  const step = (size.width - size.right - 1) / Math.max(1, size.places - 1);
  const x = (index: number): number => size.width - size.right - (shown.length - 1 - index) * step;
  const draw = line<number>(x, (index) => scale.y(shown[index]!.location.value!)).digits(1);
  const last = shown.findLastIndex((point) => point.location.value !== null);
  const missing = shown.flatMap((point, index) =>
    point.location.value === null ? [{ from: x(index) - step / 2, to: x(index) + step / 2 }] : [],
  );
  const silent = breaks(shown).flatMap((one) => (one.reason === "" ? [] : [hatchBetween(x(one.at - 1), x(one.at))]));
  const rings = shown.flatMap((point, index) => ringOf(point, index));
  return {
    width: size.width,
    height: size.height,
    path: stretches(shown)
      .map((indices) => draw(indices) ?? "")
      .join(""),
    drawn: shown.filter((point) => point.location.value !== null).length,
    limits:
      lines === null
        ? null
        : { upper: scale.y(lines.upper), lower: scale.y(lines.lower), centre: scale.y(lines.centre) },
    rings,
    beyond: beyondOf(rings, size.height),
    gaps: [...missing, ...silent],
    last: last < 0 ? null : { x: x(last), y: scale.y(shown[last]!.location.value!) },
  };

  function ringOf(point: StripPoint, index: number): readonly StripRing[] {
    const value = point.location.value;
    if (point.signals.length === 0 || value === null) return [];
    const label = ringLabel(point.flag === null ? undefined : flags.get(point.flag));
    const beyond = scale.beyond(value) ? figure(value, characteristic.digits) : null;
    return [{ x: x(index), y: scale.y(value), label, beyond }];
  }
}
