/**
 * Complete vectors cut into consecutive rational subgroups, in time order. Row r of subgroup i, r from `starts[i]` up
 * to, not including, `starts[i + 1]`, is `rows[r * dimension]` to `rows[r * dimension + dimension - 1]`; a subgroup
 * without rows holds the place of a missing one.
 */
export interface Vectors {
  readonly dimension: number;
  readonly rows: Float64Array;
  /** One more than there are subgroups. */
  readonly starts: Uint32Array;
  readonly anew: readonly number[];
  /** Vectors left out because a component was missing. */
  readonly incomplete: number;
}

/** A vector as it was read: null where a component is missing. */
export type MaybeVector = readonly (number | null)[];

/** Subgroups from lists of vectors. One that lacks a component is left out and counted: nothing is made up for it. */
export function vectorSubgroups(dimension: number, lists: readonly (readonly MaybeVector[])[]): Vectors {
  const rows: number[] = [];
  const starts = new Uint32Array(lists.length + 1);
  let incomplete = 0;
  lists.forEach((list, i) => {
    for (const vector of list) {
      const there = vector.filter((value) => value !== null);
      if (vector.length !== dimension) throw new RangeError(`${dimension} components expected, got ${vector.length}`);
      if (there.length === dimension) rows.push(...there);
      else incomplete += 1;
    }
    starts[i + 1] = rows.length / dimension;
  });
  return { dimension, rows: Float64Array.from(rows), starts, anew: [], incomplete };
}

/** Vectors, each its own subgroup; an incomplete one leaves its place empty. */
export function singleVectors(dimension: number, vectors: readonly MaybeVector[]): Vectors {
  return vectorSubgroups(
    dimension,
    vectors.map((vector) => [vector]),
  );
}
