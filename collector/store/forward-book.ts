/** Readings that came, or must go once more, behind what was forwarded already. */
export interface Behind {
  readonly id: number;
  readonly series: string;
  readonly fromMs: number;
  /** Of the last reading, itself included. */
  readonly toMs: number;
}

/** A reading that the long-term store will not have, whatever we do. */
export interface RefusedLine {
  readonly series: string;
  readonly tMs: number;
  readonly code: string;
  /** What the store said. */
  readonly words: string;
  readonly line: string;
}

/** What one chunk brought forward. */
export interface Forwarded {
  /** By series, up to which time all is there now. */
  readonly until: ReadonlyMap<string, number>;
  /** Stretches that are done, or of which this is left. */
  readonly behind: readonly { readonly id: number; readonly leftFromMs: number | null }[];
  readonly refused: readonly RefusedLine[];
}

/**
 * How far readings were copied into a long-term store: for each series a watermark, and beside it the stretches that
 * were written behind it since. Kept in the file of the readings and in the same transactions, so that no reading is
 * behind the watermark without being noted.
 */
export interface ForwardBook {
  /** Up to which time all of a series was forwarded, but for what is noted as behind; -Infinity before the first. */
  until(series: string): number;
  /**
   * Says that a series is about to be read up to a time: what is committed from now on for that time counts as behind,
   * though its watermark moves only when the chunk has arrived. Not kept over a restart, where it is read again.
   */
  claim(series: string, untilMs: number): void;
  /** The oldest notes. */
  behind(most: number): readonly Behind[];
  behindCount(): number;
  /** Stretches noted of a series that touch a range. */
  touches(series: string, fromMs: number, toMs: number): boolean;
  /** Notes a stretch that must go once more. */
  again(series: string, fromMs: number, toMs: number): void;
  done(forwarded: Forwarded): void;
  /** Up to which time the long-term store was seen to hold as many readings as were kept here. */
  seenUntil(series: string): number;
  /** Seen further, or, where something was found missing, less far. */
  setSeen(seen: ReadonlyMap<string, number>): void;
  refused(most: number): readonly RefusedLine[];
  refusedCount(): number;
  /** Refused readings of a series with fromMs <= tMs < toMs. */
  refusedIn(series: string, fromMs: number, toMs: number): number;
  /** Time of the oldest reading that was ever kept of a series, to the hour where it was let go. */
  oldestMs(series: string): number | undefined;
}
