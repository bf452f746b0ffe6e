/** Sigma of single values with what it rests on. */
export interface SpreadEstimate {
  readonly sigma: number;
  /** Degrees of freedom, not necessarily whole. */
  readonly df: number;
}
