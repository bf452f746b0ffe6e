import type { Column } from "./column.ts";
import { columnFrom, constantColumn } from "./column.ts";

/** Counts of what was found, beside the size of the sample or the area of opportunity that they were found in. */
export interface Counted {
  readonly counts: Column;
  /** As long as `counts`; a constant 1 where only counts are known. A size of zero cannot be evaluated. */
  readonly sizes: Column;
  /** Places before which memory of earlier ones ends, ascending. */
  readonly anew: readonly number[];
}

/** Counts from a list, null where one is missing, with one size for all or a list of them. */
export function counted(
  counts: readonly (number | null)[],
  sizes: number | readonly (number | null)[] = 1,
  anew: readonly number[] = [],
): Counted {
  const sized = typeof sizes === "number" ? constantColumn(sizes, counts.length) : columnFrom(sizes);
  return { counts: columnFrom(counts), sizes: sized, anew };
}
