import type { Quality, Sample } from "../../spc/model/sample.ts";
import type { ZoneOffsets } from "../../spc/segment/clock-slot.ts";
import type { SourceSettings } from "../platform/settings/source-schema.ts";
import type { Decoded, MessageDecoder, Rejection, SeriesCatalogue } from "./decoder.ts";
import { instantMs } from "./instant.ts";
import { pointerReader } from "./json-pointer.ts";
import { localInstants } from "./local-time.ts";
import { messageBounds } from "./payload-v1-schema.ts";
import { type Reading, reject, shown } from "./read-fields.ts";
import { readJson } from "./read-json.ts";
import { takeReading } from "./take-reading.ts";

type MappedSource = Extract<SourceSettings, { format: "mapped-json" }>;
type Row = MappedSource["map"][number];
type TimeRule = MappedSource["time"];

/** Reads one part of an item, and knows where it stands. */
interface Part {
  readonly at: string;
  readonly read: (item: unknown) => unknown;
}

/** What the parts of one item are read from. */
interface Item {
  readonly message: unknown;
  readonly item: unknown;
  readonly place: string;
  readonly zone: ZoneOffsets;
}

/** A row of the mapping with its pointers taken apart once. */
interface RowReader {
  readonly row: Row;
  readonly value: Part;
  readonly time: Part;
  readonly timeRule: TimeRule;
  readonly unit: Part | null;
  readonly when: Part | null;
  readonly quality: (Part & { readonly good: ReadonlySet<unknown>; readonly uncertain: ReadonlySet<unknown> }) | null;
}

/** Decoder of JSON that is not ours: the settings say where value, time, unit and quality stand. */
export function mappedJson(source: MappedSource, catalogue: SeriesCatalogue, zone: ZoneOffsets): MessageDecoder {
  const rows = source.map.map((row) => rowReader(row, source));
  const list = source.list === undefined ? null : part(source.list);
  const sequence = source.sequence === undefined ? null : part(source.sequence);
  const ignoreOthers = source.others === "ignore";

  return {
    format: "mapped-json",
    decode: (raw): Decoded => {
      const rejections: Rejection[] = [];
      const samples: Sample[] = [];
      const reading: Reading = { catalogue, source: source.id, receivedMs: raw.receivedMs, rejections };
      const message = readJson(raw, rejections, true);
      let items = message === undefined ? 1 : 0;
      let counted: number | null = null;
      if (message !== undefined) {
        const found = sequence === null ? null : readSequence(sequence, message, rejections);
        const records = found === undefined ? undefined : readItems(list, message, rejections);
        // Counted whatever is wrong with the rest: what came is not missing.
        counted = found ?? null;
        if (records === undefined) items = 1;
        else {
          for (const { item, place } of records) {
            const taken = decodeItem({ message, item, place, zone }, rows, reading, samples);
            items += taken;
            if (taken > 0 || ignoreOthers) continue;
            items += 1;
            reject(rejections, "unknown-series", place, "nothing that the source's map speaks of stands here");
          }
        }
      }
      return { source: source.id, sequence: counted, samples, snapshots: [], rejections, items, samplesPerItem: 1 };
    },
  };
}

function rowReader(row: Row, source: MappedSource): RowReader {
  const time = row.time ?? source.time;
  const quality = row.quality ?? source.quality;
  return {
    row,
    value: part(row.value),
    time: part(time.at),
    timeRule: time,
    unit: row.unitAt === undefined ? null : part(row.unitAt),
    when: row.when === undefined ? null : part(row.when.at),
    quality:
      quality === undefined
        ? null
        : { ...part(quality.at), good: new Set(quality.good), uncertain: new Set(quality.uncertain) },
  };
}

function part(pointer: string): Part {
  return { at: pointer, read: pointerReader(pointer) };
}

function readSequence({ at, read }: Part, message: unknown, rejections: Rejection[]): number | null | undefined {
  const number = read(message);
  if (number === undefined) return null;
  if (Number.isSafeInteger(number) && (number as number) >= 0) return number as number;
  return reject(rejections, "not-a-number", at, `expected a whole number from 0, found ${shown(number)}`);
}

function readItems(
  list: Part | null,
  message: unknown,
  rejections: Rejection[],
): readonly { readonly item: unknown; readonly place: string }[] | undefined {
  if (list === null) return [{ item: message, place: "" }];
  const items = list.read(message);
  const most = messageBounds.readings;
  // A gateway with nothing new sends an empty one.
  if (Array.isArray(items) && items.length <= most) {
    return items.map((item, i) => ({ item, place: `${list.at}/${i}` }));
  }
  return reject(rejections, "not-a-list", list.at, `expected a list of at most ${most}, found ${shown(items)}`);
}

/** Returns how many readings stood in the item, good and bad. */
function decodeItem(told: Item, rows: readonly RowReader[], reading: Reading, samples: Sample[]): number {
  const { item, place } = told;
  let items = 0;
  for (const reader of rows) {
    const { row, when, value } = reader;
    if (when !== null && when.read(item) !== row.when?.is) continue;
    const found = value.read(item);
    if (found === undefined && row.optional) continue;
    items += 1;
    if (found === undefined) {
      reject(reading.rejections, "value-missing", place + value.at, `${row.series} is not sent, and is not optional`);
    } else {
      decodeValue(found, told, reader, reading, samples);
    }
  }
  return items;
}

function decodeValue(
  found: unknown,
  { message, item, place, zone }: Item,
  reader: RowReader,
  reading: Reading,
  samples: Sample[],
): void {
  const { row, time, timeRule, unit } = reader;
  const { rejections } = reading;
  const ofMessage = timeRule.of === "message";
  const timePlace = ofMessage ? time.at : place + time.at;
  const stamp = time.read(ofMessage ? message : item);
  const tMs = timeRule.as === "local" ? localMs(stamp, zone, reading.receivedMs) : timeMs(stamp, timeRule.as);
  if (tMs === undefined) {
    reject(rejections, "not-a-time", timePlace, `expected ${timeWords[timeRule.as]}, found ${shown(stamp)}`);
    return;
  }
  const code = unit === null ? row.unit : unit.read(item);
  if (unit !== null && typeof code !== "string") {
    reject(rejections, "unknown-unit", place + unit.at, `expected a UCUM code as text, found ${shown(code)}`);
    return;
  }
  const number = row.decimal === undefined ? found : textNumber(found, row.decimal);
  const value = typeof number === "number" ? number * (row.scale ?? 1) + (row.offset ?? 0) : number;
  takeReading(
    {
      series: row.series,
      tMs,
      value,
      unit: code as string | undefined,
      quality: value === null && reader.quality === null ? "bad" : qualityOf(item, reader),
      places: {
        record: place + reader.value.at,
        value: place + reader.value.at,
        time: timePlace,
        unit: place + (unit?.at ?? reader.value.at),
      },
    },
    reading,
    samples,
  );
}

const timeWords: Readonly<Record<TimeRule["as"], string>> = {
  iso: "ISO 8601 with an offset, such as 2026-11-25T08:05:12.345Z",
  seconds: "seconds since 1970 as a number",
  milliseconds: "milliseconds since 1970 as a number",
  microseconds: "microseconds since 1970 as a number",
  nanoseconds: "nanoseconds since 1970 as a number",
  local: "a time that the site's clocks show, such as 2026-11-25 09:05:12.345",
};

function timeMs(stamp: unknown, as: Exclude<TimeRule["as"], "local">): number | undefined {
  if (as === "iso") return typeof stamp === "string" ? instantMs(stamp) : undefined;
  if (typeof stamp !== "number") return undefined;
  const ms = toMs[as](stamp);
  return Number.isSafeInteger(ms) ? ms : undefined;
}

/**
 * A time below the millisecond is cut off, as in ISO; seconds with decimals are no exact fractions and are rounded, and
 * nanoseconds of today are beyond what a number holds exactly, so their last three digits are rounded first.
 */
const toMs: Readonly<Record<Exclude<TimeRule["as"], "iso" | "local">, (stamp: number) => number>> = {
  seconds: (stamp) => Math.round(stamp * 1e3),
  milliseconds: Math.round,
  microseconds: (stamp) => Math.floor(stamp / 1e3),
  nanoseconds: (stamp) => Math.floor(Math.round(stamp / 1e3) / 1e3),
};

/** Of two instants that the clocks showed alike the one nearer to the arrival: a message takes no hour. */
function localMs(stamp: unknown, zone: ZoneOffsets, receivedMs: number): number | undefined {
  const found = typeof stamp === "string" ? (localInstants(stamp, zone) ?? []) : [];
  return found.toSorted((a, b) => Math.abs(a - receivedMs) - Math.abs(b - receivedMs))[0];
}

const writtenNumber = {
  point: /^[-+]?\d{1,40}(\.\d{1,40})?([eE][-+]?\d{1,3})?$/,
  comma: /^[-+]?\d{1,40}(,\d{1,40})?([eE][-+]?\d{1,3})?$/,
} as const;

/** A number written as text, or what stood there when it is none. */
function textNumber(found: unknown, decimal: keyof typeof writtenNumber): unknown {
  // A bare number where a text was promised is another sender, or another mapping.
  if (typeof found === "number") return `${found}`;
  if (typeof found !== "string" || !writtenNumber[decimal].test(found)) return found;
  return Number(found.replace(",", "."));
}

function qualityOf(item: unknown, { quality }: RowReader): Quality {
  if (quality === null) return "good";
  const found = quality.read(item);
  if (quality.good.has(found)) return "good";
  return quality.uncertain.has(found) ? "uncertain" : "bad";
}
