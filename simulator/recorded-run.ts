/** One feature as a person or a press controller wrote it down. */
export interface RecordedFeature {
  readonly feature: string;
  readonly value: number;
  readonly unit: string;
}

/** One past run, without a trace: what a site has in its spreadsheets. */
export interface RecordedRun {
  readonly station: string;
  readonly startMs: number;
  readonly endMs: number;
  readonly part: string | null;
  readonly features: readonly RecordedFeature[];
}
