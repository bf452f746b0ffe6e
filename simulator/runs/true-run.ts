/** What a feature would be without any error of measuring it, and the error of our run model. */
export interface TrueFeature {
  readonly value: number;
  readonly unit: string;
  /** Standard deviation that measuring adds. */
  readonly sd: number;
  /** What an extractor makes of a trace less the true value, on average. */
  readonly bias: number;
  /** What a faulty instrument adds to that; null where it gives no number at all. Left out where it is sound. */
  readonly off?: number | null;
}

/** A run that this one came out of, and the share of it that did. */
export interface TrueLink {
  readonly run: string;
  readonly share: number;
  readonly as: string;
}

/** One run as it truly was: what no tool may see. */
export interface TrueRun {
  readonly id: string;
  readonly station: string;
  readonly number: number;
  readonly startMs: number;
  readonly endMs: number;
  readonly part: string | null;
  readonly features: Readonly<Record<string, TrueFeature>>;
  readonly from: readonly TrueLink[];
}
