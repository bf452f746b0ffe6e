import type { Quality, Sample } from "../../spc/model/sample.ts";
import { payloadBytes, type RawMessage } from "../source/message-source.ts";
import { ByteReader } from "./byte-reader.ts";
import type { Decoded, SeriesCatalogue, SeriesEntry } from "./decoder.ts";
import { instantMs } from "./instant.ts";
import { messageBounds } from "./payload-v1-schema.ts";
import { canBeTrue } from "./read-fields.ts";

const HEAD = bytesOf('{"v":1,"kind":"readings","source":"');
const SEQUENCE = bytesOf(',"seq":');
const READINGS = bytesOf(',"readings":[');
const SERIES = bytesOf('{"series":"');
const TIME = bytesOf('","t":');
const VALUE = bytesOf(',"value":');
const MARK = bytesOf('"');
const COMMA = bytesOf(",");
const END = bytesOf("]}");
/** How a reading ends, by its quality. */
const ends: readonly (readonly [Quality, Uint8Array])[] = [
  ["good", bytesOf(',"quality":"good"}')],
  ["good", bytesOf("}")],
  ["uncertain", bytesOf(',"quality":"uncertain"}')],
  ["bad", bytesOf(',"quality":"bad"}')],
];
const DAY_TEXT = "2026-11-25".length;
const QUOTE = 34;
const nothing: readonly never[] = [];

/** A series that can be read here. */
interface Known {
  readonly id: Uint8Array;
  readonly entry: SeriesEntry;
  /** What follows its value. */
  readonly unit: Uint8Array;
}

/**
 * Reads messages of plain readings that are written as most senders write them: without spaces, keys in the order of
 * the schema, the series' own unit. A twentieth of the time that JSON takes. Anything else, whatever is wrong with it
 * among that, gives undefined and is for the decoder that knows all; what is given is what that one would give.
 */
export function quickReadings(
  catalogue: SeriesCatalogue,
  sourcesOf: (topic: string) => readonly string[],
): (raw: RawMessage) => Decoded | undefined {
  const reader = new ByteReader();
  /** By the hash of the id's bytes: to make a text of each only to find it costs as much as all else here. */
  const series = new Map<number, Known>();
  /** Whose the message before was, and the bytes that say so. */
  let last: { readonly topic: string; readonly source: string; readonly words: Uint8Array } | undefined;
  let day = new Uint8Array(0);
  let dayMs = Number.NaN;

  /** As the settings write it; undefined where it is not for this topic. */
  const sourceFor = (topic: string): string | undefined => {
    if (last?.topic === topic && reader.takes(last.words)) return last.source;
    for (const source of sourcesOf(topic)) {
      const words = bytesOf(`${source}"`);
      if (!isPlain(source) || !reader.takes(words)) continue;
      last = { topic, source, words };
      return source;
    }
    return undefined;
  };
  /** By its id, which is passed. */
  const find = (): Known | undefined => {
    const from = reader.at;
    const hash = reader.hashTo(QUOTE);
    const to = reader.at;
    reader.at = from;
    const known = series.get(hash);
    if (known !== undefined && known.id.length === to - from && reader.takes(known.id)) return known;
    const entry = catalogue.find(reader.text(from, to));
    if (entry?.kind !== "reading" || !isPlain(entry.id) || !isPlain(entry.unit)) return undefined;
    const made = { entry, id: bytesOf(entry.id), unit: bytesOf(`,"unit":"${entry.unit}"`) };
    series.set(hash, made);
    reader.at = to;
    return made;
  };
  /** Whole milliseconds, or an instant of the usual form; NaN for any other. */
  const time = (): number => {
    if (!reader.takes(MARK)) return reader.wholeNumber();
    if (day.length === 0 || !reader.takes(day)) {
      const from = reader.at;
      const text = reader.text(from, from + DAY_TEXT);
      const ms = instantMs(`${text}T00:00:00Z`);
      if (ms === undefined) return Number.NaN;
      [day, dayMs] = [bytesOf(text), ms];
      reader.at += DAY_TEXT;
    }
    const ms = dayMs + reader.timeOfDay();
    return reader.takes(MARK) ? ms : Number.NaN;
  };
  const quality = (): Quality | undefined => {
    for (const [one, words] of ends) if (reader.takes(words)) return one;
    return undefined;
  };
  const reading = (source: string, receivedMs: number): Sample | undefined => {
    if (!reader.takes(SERIES)) return undefined;
    const known = find();
    if (known === undefined || known.entry.source !== source || !reader.takes(TIME)) return undefined;
    const tMs = time();
    if (!canBeTrue(tMs, receivedMs) || !reader.takes(VALUE)) return undefined;
    const value = reader.decimal();
    if (Number.isNaN(value) || !reader.takes(known.unit)) return undefined;
    const stated = quality();
    return stated === undefined ? undefined : { series: known.entry.id, tMs, value, quality: stated };
  };

  return (raw) => {
    const { topic, receivedMs, retained, place } = raw;
    const length = payloadBytes(raw);
    if (retained || length > messageBounds.bytes) return undefined;
    const from = place?.from ?? 0;
    reader.begin(place?.bytes ?? raw.payload, from);
    if (!reader.takes(HEAD)) return undefined;
    const source = sourceFor(topic);
    if (source === undefined) return undefined;
    const sequence = reader.takes(SEQUENCE) ? reader.wholeNumber() : null;
    if (Number.isNaN(sequence) || !reader.takes(READINGS)) return undefined;
    const first = reading(source, receivedMs);
    if (first === undefined) return undefined;
    // With its one reading from the start: room for more would be most of a short message.
    const samples = [first];
    while (reader.takes(COMMA)) {
      const sample = reading(source, receivedMs);
      if (sample === undefined) return undefined;
      samples.push(sample);
    }
    if (!reader.takes(END) || reader.at !== from + length || samples.length > messageBounds.readings) return undefined;
    // Written out: each spread makes an object more, and each message comes by here.
    return {
      source,
      sequence,
      samples,
      snapshots: nothing,
      rejections: nothing,
      items: samples.length,
      samplesPerItem: 1,
    };
  };
}

/** What JSON writes as it is, a byte for each character. */
function isPlain(text: string): boolean {
  return /^[\x20\x21\x23-\x5b\x5d-\x7e]*$/.test(text);
}

function bytesOf(text: string): Uint8Array<ArrayBuffer> {
  return new TextEncoder().encode(text);
}
