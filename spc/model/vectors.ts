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
