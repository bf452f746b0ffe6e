import type { Quality, Sample } from "../../spc/model/sample.ts";
import { payloadBytes, type RawMessage } from "../source/message-source.ts";
import type { Decoded, SeriesCatalogue, SeriesEntry } from "./decoder.ts";
import { instantMs } from "./instant.ts";
import { messageBounds } from "./payload-v1-schema.ts";
import { canBeTrue } from "./read-fields.ts";

const HEAD = '{"v":1,"kind":"readings","source":"';
const DAY_TEXT = "2026-11-25".length;
const TIME_TEXT = "2026-11-25T08:05:12.345Z".length;
/** Digits of a number that is exact in a double, and so is its quotient by a power of ten that is exact as well. */
const MOST_DIGITS = 15;
const powers = Array.from({ length: MOST_DIGITS + 1 }, (_, k) => 10 ** k);
const nothing: readonly never[] = [];
const qualities: readonly Quality[] = ["good", "uncertain", "bad"];
const endOf: Readonly<Record<Quality, string>> = { good: 'good"', uncertain: 'uncertain"', bad: 'bad"' };

const QUOTE = 34;
const MINUS = 45;
const POINT = 46;
const ZERO = 48;

/**
 * Reads messages of plain readings that are written as most senders write them: without spaces, keys in the order of
 * the schema, the series' own unit. A tenth of the time that JSON takes. Anything else, whatever is wrong with it among
 * that, gives undefined and is for the decoder that knows all; what is given is what that one would give.
 */
export function quickReadings(
  catalogue: SeriesCatalogue,
  sourcesOf: (topic: string) => readonly string[],
): (raw: RawMessage) => Decoded | undefined {
  /** Bytes are read as if each were a character, which is right for these characters alone. */
  const plain = new Map<string, SeriesEntry | null>();
  let plainSource: string | undefined;
  let [dayText, dayMs] = ["", 0];
  let text = "";
  let at = 0;
  let end = 0;
  let number = 0;

  const find = (id: string): SeriesEntry | null => {
    const known = plain.get(id);
    if (known !== undefined) return known;
    const entry = catalogue.find(id);
    if (entry === undefined) return null;
    const usable = entry.kind === "reading" && isPlain(id) && isPlain(entry.unit) ? entry : null;
    // The settings' own: what was cut out of the text would keep all of it.
    plain.set(entry.id, usable);
    return usable;
  };
  const takes = (words: string): boolean => {
    if (!text.startsWith(words, at)) return false;
    at += words.length;
    return true;
  };
  /** Up to the next quotation mark, and over it. */
  const quoted = (): string => {
    const from = at;
    const to = text.indexOf('"', from);
    at = to + 1;
    return to < 0 ? "" : text.slice(from, to);
  };
  /** Digits as a whole number into `number`; gives how many there were. */
  const digits = (): number => {
    let sum = number;
    let place = at;
    for (let code = text.charCodeAt(place) - ZERO; code >= 0 && code <= 9; code = text.charCodeAt(place) - ZERO) {
      sum = sum * 10 + code;
      place += 1;
    }
    const count = place - at;
    number = sum;
    at = place;
    return count;
  };
  /** A number of JSON without an exponent, or NaN. */
  const decimal = (): number => {
    const negative = text.charCodeAt(at) === MINUS;
    if (negative) at += 1;
    const first = text.charCodeAt(at);
    number = 0;
    const before = digits();
    if (before === 0 || (before > 1 && first === ZERO)) return Number.NaN;
    let after = 0;
    if (text.charCodeAt(at) === POINT) {
      at += 1;
      after = digits();
      if (after === 0) return Number.NaN;
    }
    if (before + after > MOST_DIGITS) return Number.NaN;
    const value = number / powers[after]!;
    return negative ? -value : value;
  };
  /** Whole milliseconds, or an instant of the usual form; NaN for any other. */
  const time = (): number => {
    if (text.charCodeAt(at) !== QUOTE) return wholeNumber();
    at += 1;
    if (!text.startsWith(dayText, at) || dayText === "") {
      const day = text.slice(at, at + DAY_TEXT);
      const ms = instantMs(`${day}T00:00:00Z`);
      if (ms === undefined) return Number.NaN;
      [dayText, dayMs] = [day, ms];
    }
    const hour = twoDigits(text, at + 11);
    const minute = twoDigits(text, at + 14);
    const second = twoDigits(text, at + 17);
    const ms = 10 * twoDigits(text, at + 20) + text.charCodeAt(at + 22) - ZERO;
    const last = text.charCodeAt(at + 22) - ZERO;
    const marks =
      text[at + 10] === "T" &&
      text[at + 13] === ":" &&
      text[at + 16] === ":" &&
      text[at + 19] === "." &&
      text[at + 23] === "Z" &&
      text[at + 24] === '"';
    at += TIME_TEXT + 1;
    // NaN fails each of these.
    if (!(marks && hour <= 23 && minute <= 59 && second <= 59 && last >= 0 && last <= 9)) return Number.NaN;
    return dayMs + hour * 3_600_000 + minute * 60_000 + second * 1000 + ms;
  };
  const wholeNumber = (): number => {
    const from = at;
    number = 0;
    const count = digits();
    return count === 0 || count > MOST_DIGITS || (count > 1 && text.charCodeAt(from) === ZERO) ? Number.NaN : number;
  };
  const quality = (): Quality | undefined => {
    if (!takes(',"quality":"')) return "good";
    for (const word of qualities) if (takes(endOf[word])) return word;
    return undefined;
  };
  const reading = (source: string, receivedMs: number): Sample | undefined => {
    if (!takes('{"series":"')) return undefined;
    const entry = find(quoted());
    if (entry === null || entry.source !== source || !takes(',"t":')) return undefined;
    const tMs = time();
    if (!canBeTrue(tMs, receivedMs) || !takes(',"value":')) return undefined;
    const value = decimal();
    if (Number.isNaN(value) || !takes(',"unit":"') || quoted() !== entry.unit) return undefined;
    const stated = quality();
    if (stated === undefined || !takes("}")) return undefined;
    return { series: entry.id, tMs, value, quality: stated };
  };

  const begin = (raw: RawMessage): void => {
    const { place } = raw;
    if (place === undefined) {
      const { payload } = raw;
      text = Buffer.from(payload.buffer, payload.byteOffset, payload.length).toString("latin1");
      [at, end] = [0, text.length];
    } else {
      text = place.read.text();
      at = place.from;
      end = place.to;
    }
  };
  /** As the settings write it; undefined where it is not for this topic. */
  const sourceFor = (topic: string): string | undefined => {
    const sources = sourcesOf(topic);
    const source = sources[sources.indexOf(quoted())];
    if (source === undefined || source === plainSource) return source;
    plainSource = isPlain(source) ? source : undefined;
    return plainSource;
  };

  return (raw) => {
    const { topic, receivedMs, retained } = raw;
    if (retained || payloadBytes(raw) > messageBounds.bytes) return undefined;
    begin(raw);
    if (!takes(HEAD)) return undefined;
    const source = sourceFor(topic);
    if (source === undefined) return undefined;
    const sequence = takes(',"seq":') ? wholeNumber() : null;
    if (Number.isNaN(sequence) || !takes(',"readings":[')) return undefined;
    const samples: Sample[] = [];
    do {
      const sample = reading(source, receivedMs);
      if (sample === undefined) return undefined;
      samples.push(sample);
    } while (takes(","));
    if (!takes("]}") || at !== end || samples.length > messageBounds.readings) return undefined;
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

function isPlain(text: string): boolean {
  return /^[\x20-\x7e]*$/.test(text);
}

/** Two digits as a number, or NaN. */
function twoDigits(text: string, at: number): number {
  const tens = text.charCodeAt(at) - ZERO;
  const ones = text.charCodeAt(at + 1) - ZERO;
  return tens >= 0 && tens <= 9 && ones >= 0 && ones <= 9 ? 10 * tens + ones : Number.NaN;
}
