import type { Sample } from "../../spc/model/sample.ts";
import type { Counted, Rejection, Snapshot } from "../decode/decoder.ts";
import type { ForwardBook } from "./forward-book.ts";
import type { TrendGrid } from "./trend-grid.ts";

/** What one message becomes in the store. */
export interface IncomingMessage {
  readonly topic: string;
  /** Asked for only where something of it is refused. */
  readonly payload: Uint8Array;
  readonly receivedMs: number;
  /** 0 is never acknowledged: nothing can promise that such a message was not lost. */
  readonly qos: 0 | 1 | 2;
  readonly source: string | null;
  readonly sequence: number | null;
  readonly counted?: readonly Counted[] | undefined;
  readonly samples: readonly Sample[];
  readonly snapshots: readonly Snapshot[];
  readonly rejections: readonly Rejection[];
  readonly items: number;
  /** How many samples one item becomes: 1, or for a waveform the number of its reduced series. */
  readonly samplesPerItem: number;
}

/** What the store must know of the site to tell what is late. */
export interface SeriesPlaces {
  readonly latenessMs: number;
  /** Of a stored series, the reduced ones of a waveform included; undefined when the settings no longer have it. */
  find(series: string): { readonly source: string; readonly station: string } | undefined;
}

export interface Counts {
  /** Readings, waveforms and events that arrived, repeats included. */
  readonly received: number;
  /** Those whose message may be acknowledged since its commit; QoS 0 never is. */
  readonly acknowledged: number;
  /** Those kept once. */
  readonly stored: number;
  /** Those that were there already. */
  readonly duplicate: number;
  readonly quarantined: number;
  /** Of those kept, the ones that were late: they enter no run by themselves. */
  readonly late: number;
}

export interface SampleRange {
  readonly series: string;
  readonly fromMs: number;
  readonly toMs: number;
}

export interface ReadOptions {
  /** Late readings enter no run; only the raw view asks for them. */
  readonly includeLate?: boolean;
  readonly limit?: number;
}

export interface StoredSample extends Sample {
  readonly late: boolean;
}

export interface QuarantinePage {
  readonly afterId?: number;
  readonly limit: number;
  readonly newestFirst?: boolean;
}

export interface QuarantineRow {
  readonly id: number;
  readonly receivedMs: number;
  readonly topic: string;
  /** First bytes of the payload, at most 4,096. */
  readonly bytes: Uint8Array;
  readonly size: number;
  readonly code: string;
  readonly place: string;
  readonly detail: string;
}

/** Messages that a source's counter shows to be missing, next to one another. */
export interface MissingStretch {
  readonly source: string;
  readonly messages: number;
  /** When the next one arrived. */
  readonly foundMs: number;
  /** Source times before and after; null where those messages carry none. */
  readonly afterMs: number | null;
  readonly beforeMs: number | null;
}

/** A source of which nothing is in time any more. */
export interface LateSource {
  readonly source: string;
  /** Late ones in a row, up to the last. */
  readonly readings: number;
  /** When the last one came. */
  readonly arrivedMs: number;
  /** The newest reading of all, which they come behind. */
  readonly newestMs: number;
}

/** Readings of one stretch of time, drawn as one column. */
export interface TrendColumn {
  readonly fromMs: number;
  readonly toMs: number;
  readonly n: number;
  /** Readings with a value; without any the numbers are null. */
  readonly valued: number;
  readonly min: number | null;
  readonly max: number | null;
  readonly mean: number | null;
}

/** A stretch of sealed readings that the disk has damaged. */
export interface LostStretch {
  readonly series: string;
  readonly fromMs: number;
  readonly toMs: number;
  readonly why: string;
}

/** What one turn let go: so many readings or snapshots, and whether more of the same may go at once. */
export interface LetGo {
  readonly count: number;
  readonly more: boolean;
}

/** What is sealed of a series. */
export interface SealedSeries {
  readonly series: string;
  readonly bytes: number;
  /** Of the oldest block. */
  readonly fromMs: number;
  readonly toMs: number;
}

/** What a process sees of readings that another one keeps; each answer is as of now. */
export type SampleReader = Pick<
  SampleStore,
  | "read"
  | "latest"
  | "trend"
  | "keptFrom"
  | "seriesNames"
  | "usedBytes"
  | "snapshots"
  | "quarantine"
  | "counts"
  | "sequenceGaps"
  | "missingStretches"
  | "close"
>;

/** Where readings are kept. One writer; any number of readers. */
export interface SampleStore {
  /**
   * Commits a group of messages whole: returns once it would survive a crash. Idempotent by (series, tMs): the first
   * reading kept wins. A reading is late, and so marked, when it is older than its source's newest by more than the
   * lateness window, or older than what its station has already cut into runs (`settle`).
   */
  commit(messages: readonly IncomingMessage[]): void;
  /**
   * Samples of the station before `beforeMs` are cut into runs; what still comes for that time is late. Holds at once,
   * and is on disk with the next commit or close.
   */
  settle(station: string, beforeMs: number): void;
  /** Samples with fromMs <= tMs < toMs, in time order. */
  read(range: SampleRange, options?: ReadOptions): readonly StoredSample[];
  latest(series: string): StoredSample | undefined;
  /** All readings of a range, late ones included, in at most `columns` columns in time order; empty ones are left out. */
  trend(range: SampleRange, columns: number | TrendGrid): readonly TrendColumn[];
  /** How many readings of a range there are, late ones included; `byHour` in whole hours, with what was let go since. */
  count(range: SampleRange, byHour: boolean): number;
  /** Compresses some of what has waited; false when nothing is left to do. Holds the writer for some tens of ms. */
  sealSome(): boolean;
  /** What was found damaged since the store was opened; all else reads on. */
  lost(): readonly LostStretch[];
  /** Names of all series that were ever kept. */
  seriesNames(): readonly string[];
  /** Series that have something sealed. */
  sealed(): readonly SealedSeries[];
  /** What readings take on the disk. What is let go makes room inside the file, which does not shrink and does not grow. */
  usedBytes(): number;
  /**
   * Lets some of the oldest go that lie before `beforeMs`, never what is not cut into runs yet. Hourly roll-ups stay.
   * Holds the writer for some milliseconds.
   */
  letGo(what: "readings" | "snapshots", series: string, beforeMs: number): LetGo;
  /** Readings that were let go since the store was opened. */
  letGoCount(): number;
  /** Before this time readings of a series were let go; -Infinity when none were. */
  keptFrom(series: string): number;
  /** How far readings were copied into a long-term store. */
  readonly forwarding: ForwardBook;
  /** Newest source time of each source, over all its series. */
  newestBySource(): ReadonlyMap<string, number>;
  /** Sources of which all fresh readings were late lately, since the store was opened; those of the past count neither way. */
  lateSources(): readonly LateSource[];
  snapshots(range: SampleRange): readonly Snapshot[];
  /** Drops the snapshots of a series in a range but the one at `keepMs`. */
  pruneSnapshots(range: SampleRange, keepMs: number | null): void;
  /** Oldest first, or newest first; those that follow `afterId` in that order. */
  quarantine(options: QuarantinePage): readonly QuarantineRow[];
  counts(): Counts;
  /**
   * By source, how many numbers of its counters never came since the data folder was made; a late one is taken out
   * again. A source that gives no counter is not among them. What no number tells stays unknown: what was sent before
   * the first one or lost before a counter began anew, and whole rounds of a counter that wraps.
   */
  sequenceGaps(): ReadonlyMap<string, number>;
  /** Where they are missing: the newest hundred stretches of each counter. */
  missingStretches(): readonly MissingStretch[];
  /** What a part of ours wrote down for after a restart; undefined before the first time. */
  remembered(name: string): unknown;
  /** Writes down plain data, in place of what stood under that name. */
  remember(name: string, value: unknown): void;
  close(): void;
}
