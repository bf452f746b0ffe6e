import type { Sample } from "../../spc/model/sample.ts";

/** Checked readings of one source. */
export interface SourceSamples {
  readonly source: string;
  readonly samples: readonly Sample[];
}

export interface TakenIn {
  readonly stored: number;
  readonly duplicate: number;
  /** Of those stored. */
  readonly late: number;
}

export const noneTakenIn: TakenIn = { stored: 0, duplicate: 0, late: 0 };

export function together(a: TakenIn, b: TakenIn): TakenIn {
  return { stored: a.stored + b.stored, duplicate: a.duplicate + b.duplicate, late: a.late + b.late };
}
