import type { Column } from "./column.ts";

/** Counts of what was found, beside the size of the sample or the area of opportunity that they were found in. */
export interface Counted {
  readonly counts: Column;
  /** As long as `counts`; a constant 1 where only counts are known. A size of zero cannot be evaluated. */
  readonly sizes: Column;
  /** Places before which memory of earlier ones ends, ascending. */
  readonly anew: readonly number[];
}
