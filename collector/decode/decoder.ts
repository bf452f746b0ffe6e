import type { Sample } from "../../spc/model/sample.ts";
import type { RawMessage } from "../source/message-source.ts";

/** A record refused at the door: what is wrong and where in the message. */
export interface Rejection {
  /** Kebab-case, stable, listed in DEVELOPERS.md: `unknown-series`, `unknown-unit`, `not-a-number`. */
  readonly code: string;
  /** Where in the payload: a JSON pointer such as `/readings/3/unit`; empty for the whole message. */
  readonly place: string;
  /** What stood there and what was expected. */
  readonly detail: string;
}

/** A waveform block kept as it came, so that a run's page can show it. */
export interface Snapshot {
  readonly series: string;
  readonly tMs: number;
  readonly rateHz: number;
  /** Multiply the int16 samples by this to get the series' unit. */
  readonly scale: number;
  /** Little-endian int16. */
  readonly samples: Uint8Array;
}

/** A number that one of a source's counters gave: it shows what never arrived. */
export interface Counted {
  /** Which counter, where a source has several: an edge node, a writer. */
  readonly stream: string;
  readonly number: number;
  /** The counter goes from `wraps - 1` to 0. */
  readonly wraps: number;
  /** True where the sender says that it begins anew: what came before is no gap. */
  readonly anew?: boolean;
}

export interface Decoded {
  /** Sender's name for itself, and its own counter, where it gives one. */
  readonly source: string | null;
  readonly sequence: number | null;
  /** Counters of formats that have more than one, or one that wraps. */
  readonly counted?: readonly Counted[];
  readonly samples: readonly Sample[];
  readonly snapshots: readonly Snapshot[];
  readonly rejections: readonly Rejection[];
  /** Readings, waveforms and events in the message, good and bad: what `/api/counts` counts. */
  readonly items: number;
  /** How many samples one item becomes: 1, or for a waveform the number of its reduced series. */
  readonly samplesPerItem: number;
}

/**
 * Turns one wire format into samples. Total: hostile bytes give rejections, not throws. Pure, but for Sparkplug B, whose
 * messages mean nothing without the births before them.
 */
export interface MessageDecoder {
  readonly format: string;
  decode(message: RawMessage): Decoded;
}

/** What the decoder may know of the site: its series, found by id. */
export interface SeriesCatalogue {
  find(id: string): SeriesEntry | undefined;
}

export interface SeriesEntry {
  readonly id: string;
  readonly source: string;
  readonly kind: "reading" | "waveform" | "event";
  /** UCUM code that values are stored in. */
  readonly unit: string;
  /** Converts a value in `unit` to the series' own, or undefined when the unit is not one of its quantity. */
  toCanonical(value: number, unit: string): number | undefined;
}
