import { oneOf } from "../../collector/platform/settings/schema-words.ts";
import type { Site, Station } from "../../collector/platform/settings/site.ts";
import type { Mistake } from "../problem.ts";

type Places = { readonly stages: readonly string[]; readonly stations: readonly Pick<Station, "id">[] };

/** What of an account's areas the settings do not name, by its place in the list. */
export function areaMistakes({ stages, stations }: Places, areas: readonly string[]): readonly Mistake[] {
  const known = [...stages, ...stations.map(({ id }) => id)];
  return areas.flatMap((area, nth) =>
    known.includes(area) ? [] : [{ place: `areas/${nth}`, found: area, expected: oneOf(known) }],
  );
}

/**
 * What rows of the Change Record about an area begin with: its stations, their series, and the gateways and supplies that a
 * flag of several stations is named after. Null for the whole plant. An area that the settings name no more holds nothing.
 */
export function placesOf({ stations }: Pick<Site, "stations">, areas: readonly string[]): readonly string[] | null {
  if (areas.length === 0) return null;
  const within = stations.filter(({ id, stage }) => areas.includes(id) || areas.includes(stage));
  const named = within.flatMap(({ id, source, fedBy, series }) => [
    ...[id, source, ...fedBy],
    ...Object.values(series).map((one) => one.id.replaceAll("/", ".")),
  ]);
  return [...new Set(named)];
}
