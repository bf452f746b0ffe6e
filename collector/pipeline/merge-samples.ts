import type { RoleSample } from "../../spc/model/run.ts";

/** Puts series, each in time order, into one time order; samples of one instant come in the order of the lists. */
export function mergeSamples(lists: readonly (readonly RoleSample[])[]): readonly RoleSample[] {
  const filled = lists.filter((list) => list.length > 0);
  if (filled.length <= 1) return filled[0] ?? [];
  const places = filled.map(() => 0);
  const total = filled.reduce((sum, list) => sum + list.length, 0);
  const merged: RoleSample[] = new Array(total);
  for (let at = 0; at < total; at += 1) {
    let first = -1;
    let firstMs = Infinity;
    for (let list = 0; list < filled.length; list += 1) {
      const tMs = filled[list]![places[list]!]?.tMs ?? Infinity;
      if (tMs < firstMs) {
        first = list;
        firstMs = tMs;
      }
    }
    merged[at] = filled[first]![places[first]!]!;
    places[first] = places[first]! + 1;
  }
  return merged;
}
