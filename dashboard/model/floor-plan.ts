import type { WireFreshness, WireStation } from "../../api/contract/wire.ts";
import type { Floor, FloorChart } from "./floor.ts";

/** One station's place on the Floor: column by stage, row by its order there. Places never move. */
export interface FloorCell {
  readonly station: WireStation;
  readonly column: number;
  readonly row: number;
  readonly freshness: WireFreshness | null;
  /** What stands on the strip; null while the station has no characteristic at all. */
  readonly main: FloorChart | null;
  readonly others: readonly FloorChart[];
}

export interface FloorPlan {
  readonly stages: readonly string[];
  readonly rows: number;
  readonly cells: readonly FloorCell[];
}

export function floorPlan(floor: Floor): FloorPlan {
  const charted = new Map(floor.characteristics.map((one) => [one.characteristic.id, one]));
  const freshness = new Map(floor.freshness.map((one) => [one.station, one]));
  const used = new Map<string, number>();
  const cells = floor.stations.map((station): FloorCell => {
    const row = used.get(station.stage) ?? 0;
    used.set(station.stage, row + 1);
    const all = station.characteristics.flatMap((id) => charted.get(id) ?? []);
    const main = onStrip(all);
    return {
      station,
      column: floor.stages.indexOf(station.stage),
      row,
      freshness: freshness.get(station.id) ?? null,
      main,
      others: all.filter((one) => one !== main),
    };
  });
  return { stages: floor.stages, rows: Math.max(0, ...used.values()), cells };
}

/** The main characteristic; where charts are by part, that of the part that ran last. */
function onStrip(all: readonly FloorChart[]): FloorChart | null {
  const mains = all.filter((one) => one.characteristic.main);
  const newest = (one: FloorChart): string => one.characteristic.latest?.at ?? one.points.at(-1)?.at ?? "";
  const [first, ...rest] = mains.length > 0 ? mains : all;
  return rest.reduce<FloorChart | null>(
    (best, one) => (best !== null && newest(best) >= newest(one) ? best : one),
    first ?? null,
  );
}

export type FreshWord = "live" | "catching-up" | "stale" | "never";

export function freshWord(freshness: WireFreshness | null): FreshWord {
  if (freshness === null) return "never";
  return freshness.state === "silent" ? "stale" : freshness.state;
}
