import type { WireFloor, WireFloorCharacteristic, WirePoint, WireStrip } from "../../api/contract/wire.ts";

/** What a strip draws of a point; the points that the live stream brings have more. */
export interface StripPoint extends Pick<WirePoint, "run" | "subgroup" | "at" | "imported" | "signals" | "flag"> {
  readonly location: Pick<WirePoint["location"], "value">;
  readonly spread: Pick<WirePoint["spread"], "value">;
}

/** A chart of the Floor and its newest points, oldest first; none where it never stands on a strip. */
export interface FloorChart {
  readonly characteristic: WireFloorCharacteristic;
  readonly points: readonly StripPoint[];
}

/** The Floor as pages draw it. */
export interface Floor extends Omit<WireFloor, "characteristics"> {
  readonly characteristics: readonly FloorChart[];
}

/** The server's answer with its columns as points again. */
export function floorOf({ characteristics, ...rest }: WireFloor): Floor {
  return {
    ...rest,
    characteristics: characteristics.map(({ characteristic, strip }) => ({ characteristic, points: pointsOf(strip) })),
  };
}

function pointsOf({ run, subgroup, atMs, value, imported, withoutSpread, signalled }: WireStrip): StripPoint[] {
  const alone = new Set(withoutSpread);
  const signals = new Map(signalled.map((one) => [one.place, one]));
  return run.map((id, place) => ({
    run: id,
    subgroup: subgroup[place]!,
    at: new Date(atMs[place]!).toISOString(),
    imported: place < imported,
    location: { value: value[place]! },
    // Strips ask only whether there is one.
    spread: { value: alone.has(place) ? null : 0 },
    signals: signals.get(place)?.signals ?? [],
    flag: signals.get(place)?.flag ?? null,
  }));
}
