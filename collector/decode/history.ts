import type { Sample } from "../../spc/model/sample.ts";
import type { ZoneOffsets } from "../../spc/segment/clock-slot.ts";
import type { Rejection, SeriesCatalogue } from "./decoder.ts";
import type { Reading } from "./read-fields.ts";
import { takeReading } from "./take-reading.ts";

/** How a file of past readings writes its times; `local` by the clocks of a zone, or with an offset like `iso`. */
export type TimeForm = "iso" | "local" | "s" | "ms" | "us" | "ns";

export interface HistoryOptions {
  readonly time: TimeForm;
  /** Of local times. */
  readonly zone: ZoneOffsets;
  /** CSV: the decimal mark of numbers. */
  readonly decimal: "point" | "comma";
  /** UCUM code by series id, or by role for all stations: for what the file itself gives no unit. */
  readonly units: ReadonlyMap<string, string>;
  /** Names that are no series of the settings are passed over instead of refused. */
  readonly othersIgnored: boolean;
  /** Line protocol: how a series is named, such as `{station}/{field}`. */
  readonly template: string;
}

/** Reads one file of past readings, line by line; places are `line:column`. */
export interface HistoryReader {
  /** So many lines at the top say what the columns are: a reader that goes on in the middle of a file is given them first. */
  readonly headLines: number;
  take(text: string, line: number, rows: HistoryRows): void;
  /** False when the lines at the top did not say what the columns are: nothing below them can be read then. */
  isReadable(): boolean;
}

/** One value of a file, before it is checked. */
export interface HistoryValue {
  readonly series: string;
  readonly tMs: number;
  readonly value: number | boolean | string | null;
  readonly unit: string | undefined;
  readonly quality: Sample["quality"];
  readonly places: { readonly record: string; readonly value: string; readonly time: string; readonly unit: string };
}

/** Gathers what lines hold: checked like any message's readings, and put together by the source they belong to. */
export class HistoryRows {
  readonly rejections: Rejection[] = [];
  readonly #catalogue: SeriesCatalogue;
  readonly #receivedMs: number;
  readonly #bySource = new Map<string, { readonly reading: Reading; samples: Sample[] }>();

  constructor(catalogue: SeriesCatalogue, receivedMs: number) {
    this.#catalogue = catalogue;
    this.#receivedMs = receivedMs;
  }

  /** How many values were given since it was emptied, good and bad. */
  taken = 0;

  knows(series: string): boolean {
    return this.#catalogue.find(series) !== undefined;
  }

  take(one: HistoryValue): void {
    this.taken += 1;
    const source = this.#catalogue.find(one.series)?.source ?? "";
    let own = this.#bySource.get(source);
    if (own === undefined) {
      const { rejections } = this;
      const reading = { catalogue: this.#catalogue, source, receivedMs: this.#receivedMs, rejections };
      own = { reading, samples: [] };
      this.#bySource.set(source, own);
    }
    takeReading(one, own.reading, own.samples);
  }

  /** Gives up what was gathered. */
  empty(): readonly { readonly source: string; readonly samples: readonly Sample[] }[] {
    const out = [...this.#bySource].flatMap(([source, own]) => {
      const { samples } = own;
      own.samples = [];
      return samples.length === 0 ? [] : [{ source, samples }];
    });
    this.rejections.length = 0;
    this.taken = 0;
    return out;
  }
}

/** The unit of a series by the options: of itself, else of its role. */
export function unitOf(series: string, units: ReadonlyMap<string, string>): string | undefined {
  return units.get(series) ?? units.get(series.slice(series.indexOf("/") + 1));
}
