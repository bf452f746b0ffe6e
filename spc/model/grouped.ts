/**
 * Single values cut into consecutive rational subgroups, in time order. Subgroup i holds `values[starts[i]]` up to, not
 * including, `values[starts[i + 1]]`; an empty one holds the place of a missing one. All values are finite.
 */
export interface Grouped {
  readonly values: Float64Array;
  /** One more than there are subgroups. */
  readonly starts: Uint32Array;
  /** Subgroups before which memory of earlier ones ends, because too much time lies between: ascending. */
  readonly anew: readonly number[];
  /** Subgroups before which another part or tool ran, ascending: no moving range reaches back, all else goes on. */
  readonly apart?: readonly number[];
}

/** Places that no moving range reaches across, ascending. */
export function rangeBreaks({ anew, apart }: Pick<Grouped, "anew" | "apart">): readonly number[] {
  return apart === undefined || apart.length === 0 ? anew : [...new Set([...anew, ...apart])].sort((a, b) => a - b);
}

/** Places before which something else was set up: what `Grouped.apart` holds for single values. */
export function apartPlaces(places: readonly { readonly setting?: string }[]): readonly number[] {
  return places.flatMap(({ setting }, at) => (at > 0 && places[at - 1]!.setting !== setting ? [at] : []));
}

/** A half-open span of plotted places. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

/** How many subgroups there are, empty ones included. */
export function subgroupCount({ starts }: Grouped): number {
  return starts.length - 1;
}

/** Single values, each its own subgroup; null holds the place of a missing one. */
export function singles(values: readonly (number | null)[]): Grouped {
  const starts = new Uint32Array(values.length + 1);
  const there = values.filter((value) => value !== null);
  let count = 0;
  values.forEach((value, i) => {
    if (value !== null) count += 1;
    starts[i + 1] = count;
  });
  return { values: Float64Array.from(there), starts, anew: [] };
}

/** Subgroups from lists. */
export function subgroups(lists: readonly (readonly number[])[]): Grouped {
  const starts = new Uint32Array(lists.length + 1);
  lists.forEach((list, i) => {
    starts[i + 1] = starts[i]! + list.length;
  });
  return { values: Float64Array.from(lists.flat()), starts, anew: [] };
}
