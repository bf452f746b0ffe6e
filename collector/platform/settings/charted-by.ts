import type { StationKind } from "./schema.ts";

type CharacteristicSettings = StationKind["characteristics"][number];

/** Words of a run's context that each have a chart of their own. */
export function chartedBy({ by, byPart }: Pick<CharacteristicSettings, "by" | "byPart">): readonly string[] {
  return by ?? (byPart ? ["part"] : []);
}

/** Unit of what the chart plots: a difference of temperatures is in K, and a count of sigma has none. */
export function chartedUnit({ as }: Pick<CharacteristicSettings, "as">, unit: string): string {
  if (as === "z") return "1";
  return as === "deviation" && unit === "Cel" ? "K" : unit;
}
