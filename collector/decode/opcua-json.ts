import type { Quality, Sample } from "../../spc/model/sample.ts";
import type { SourceSettings } from "../platform/settings/source-schema.ts";
import type { Counted, Decoded, MessageDecoder, Rejection, SeriesCatalogue } from "./decoder.ts";
import { instantMs } from "./instant.ts";
import { pointerPart } from "./json-pointer.ts";
import { messageBounds } from "./payload-v1-schema.ts";
import { isObject, type JsonObject, type Reading, reject, shown } from "./read-fields.ts";
import { readJson } from "./read-json.ts";
import { takeReading } from "./take-reading.ts";

type OpcuaSource = Extract<SourceSettings, { format: "opcua-json" }>;
type Row = OpcuaSource["map"][number];

/** SequenceNumber is a UInt32 (OPC 10000-14, table of the JSON DataSetMessage). */
const SEQUENCE_WRAPS = 2 ** 32;
const qualities: readonly Quality[] = ["good", "uncertain", "bad"];

interface Taker {
  readonly reading: Reading;
  readonly rowOf: (writer: string, field: string) => Row | undefined;
  readonly ignoreOthers: boolean;
  readonly samples: Sample[];
  readonly counted: Counted[];
}

/** What holds for all fields of one DataSetMessage unless a field says otherwise. */
interface Frame {
  readonly writer: string;
  readonly timestamp: unknown;
  readonly status: unknown;
  readonly place: string;
}

/**
 * Decoder of OPC UA PubSub JSON (OPC 10000-14, 7.2.5), the subset of `ua-data`: one network message with its
 * DataSetMessages, these without the network message's header, or one DataSetMessage alone; fields as plain values, Variants or DataValues.
 */
export function opcuaJson(source: OpcuaSource, catalogue: SeriesCatalogue): MessageDecoder {
  const rows = new Map(source.map.map((row) => [rowKey(row.writer, row.field), row]));
  const rowOf = (writer: string, field: string): Row | undefined =>
    rows.get(rowKey(writer, field)) ?? rows.get(rowKey(undefined, field));
  return {
    format: "opcua-json",
    decode: (raw): Decoded => {
      const rejections: Rejection[] = [];
      const samples: Sample[] = [];
      const counted: Counted[] = [];
      const reading = { catalogue, source: source.id, receivedMs: raw.receivedMs, rejections };
      const message = readJson(raw, rejections);
      const taker = { reading, rowOf, ignoreOthers: source.others === "ignore", samples, counted };
      const items = message === undefined ? 1 : decodeNetworkMessage(message, taker);
      const sequence = null;
      return { source: source.id, sequence, counted, samples, snapshots: [], rejections, items, samplesPerItem: 1 };
    },
  };
}

function rowKey(writer: string | number | undefined, field: string): string {
  return writer === undefined ? field : `${String(writer)}\u0000${field}`;
}

function decodeNetworkMessage(message: unknown, taker: Taker): number {
  const { rejections } = taker.reading;
  // Without its header a network message is the list alone.
  if (Array.isArray(message)) return decodeList(message, "", "", taker);
  if (!isObject(message)) {
    reject(rejections, "not-an-object", "", `expected a message in braces, found ${shown(message)}`);
    return 1;
  }
  const publisher = typeof message["PublisherId"] === "string" ? message["PublisherId"] : "";
  const messages = message["Messages"];
  if (messages === undefined && isObject(message["Payload"])) return decodeDataSet(message, "", publisher, taker);
  const type = message["MessageType"];
  if (type !== "ua-data") {
    // Metadata, status and keep-alive hold no readings.
    if (typeof type === "string" && type.startsWith("ua-")) return 0;
    reject(rejections, "unknown-kind", "/MessageType", `expected ua-data, found ${shown(type)}`);
    return 1;
  }
  if (isObject(messages)) return decodeDataSet(messages, "/Messages", publisher, taker);
  return decodeList(messages, "/Messages", publisher, taker);
}

function decodeList(messages: unknown, place: string, publisher: string, taker: Taker): number {
  const most = messageBounds.readings;
  if (!Array.isArray(messages) || messages.length > most) {
    const found = shown(messages);
    reject(taker.reading.rejections, "not-a-list", place, `expected a list of at most ${most}, found ${found}`);
    return 1;
  }
  let items = 0;
  for (let i = 0; i < messages.length; i++) items += decodeDataSet(messages[i], `${place}/${i}`, publisher, taker);
  return items;
}

/** Returns how many fields were taken or refused. */
function decodeDataSet(message: unknown, place: string, publisher: string, taker: Taker): number {
  const { rejections } = taker.reading;
  if (!isObject(message)) {
    reject(rejections, "not-an-object", place, `expected a DataSetMessage in braces, found ${shown(message)}`);
    return 1;
  }
  const id = message["DataSetWriterId"] ?? message["DataSetWriterName"];
  const writer = typeof id === "number" || typeof id === "string" ? String(id) : "";
  if (!countMessage(message, place, `${publisher}/${writer}`, taker)) return 1;
  const type = message["MessageType"];
  const payload = message["Payload"];
  if (type === "ua-keepalive" || (type === undefined && payload === undefined)) return 0;
  if (type !== undefined && type !== "ua-keyframe" && type !== "ua-deltaframe") {
    const expected = "ua-keyframe, ua-deltaframe or ua-keepalive";
    reject(rejections, "unknown-kind", `${place}/MessageType`, `expected ${expected}, found ${shown(type)}`);
    return 1;
  }
  const fields = isObject(payload) ? Object.keys(payload) : [];
  if (!isObject(payload) || fields.length > messageBounds.readings) {
    const expected = `at most ${messageBounds.readings} fields in braces`;
    reject(rejections, "not-an-object", `${place}/Payload`, `expected ${expected}, found ${shown(payload)}`);
    return 1;
  }
  const frame = { writer, timestamp: message["Timestamp"], status: message["Status"], place };
  let items = 0;
  for (const field of fields) items += decodeField(field, payload[field], frame, taker);
  return items;
}

function countMessage(message: JsonObject, place: string, stream: string, { reading, counted }: Taker): boolean {
  const number = message["SequenceNumber"];
  if (number === undefined) return true;
  if (Number.isInteger(number) && (number as number) >= 0 && (number as number) < SEQUENCE_WRAPS) {
    counted.push({ stream: stream.slice(0, messageBounds.idLength), number: number as number, wraps: SEQUENCE_WRAPS });
    return true;
  }
  reject(reading.rejections, "not-a-number", `${place}/SequenceNumber`, `expected a UInt32, found ${shown(number)}`);
  return false;
}

function decodeField(field: string, told: unknown, frame: Frame, taker: Taker): number {
  const { reading, samples, ignoreOthers, rowOf } = taker;
  const { rejections } = reading;
  const place = `${frame.place}/Payload/${pointerPart(field)}`;
  const row = rowOf(frame.writer, field);
  if (row === undefined) {
    if (ignoreOthers) return 0;
    const whose = `field ${shown(field)} of writer ${shown(frame.writer)}`;
    reject(rejections, "unknown-series", place, `${whose} stands in no row of the source's map`);
    return 1;
  }
  const data = isDataValue(told) ? told : undefined;
  const quality = worstOf([frame.status, data?.["Status"] ?? data?.["StatusCode"]]);
  if (quality === undefined) {
    const expected = "a StatusCode: a UInt32, or braces with Code";
    reject(rejections, "unknown-quality", place, `expected ${expected} here or for the whole message`);
    return 1;
  }
  const stamp = data?.["SourceTimestamp"] ?? frame.timestamp;
  const tMs = typeof stamp === "string" ? instantMs(stamp) : undefined;
  if (tMs === undefined) {
    const expected = "SourceTimestamp or the message's Timestamp in ISO 8601";
    reject(rejections, "not-a-time", place, `expected ${expected}, found ${shown(stamp)}`);
    return 1;
  }
  const value = plainValue(data === undefined ? told : data["Value"]);
  const places = { record: place, value: place, time: place, unit: place };
  // No value is a bad reading, whatever stands beside it.
  const known = value === null ? "bad" : quality;
  takeReading({ series: row.series, tMs, value, unit: row.unit, quality: known, places }, reading, samples);
  return 1;
}

/** A DataValue is told from a structure by what may stand in it and nothing else does. */
function isDataValue(told: unknown): told is JsonObject {
  return isObject(told) && Object.keys(told).every((key) => dataValueKeys.has(key));
}
const dataValueKeys: ReadonlySet<string> = new Set([
  "Value",
  "UaType",
  "Dimensions",
  "Status",
  "StatusCode",
  "SourceTimestamp",
  "SourcePicoseconds",
  "ServerTimestamp",
  "ServerPicoseconds",
]);

/** A Variant is unwrapped; a 64-bit integer, which comes as text (OPC 10000-6, 5.4.2), is taken where it is exact. */
function plainValue(value: unknown): unknown {
  const bare = isObject(value) && "Body" in value ? value["Body"] : value;
  if (bare === undefined) return null;
  if (typeof bare !== "string" || !/^-?\d{1,16}$/.test(bare)) return bare;
  return Number.isSafeInteger(Number(bare)) ? Number(bare) : bare;
}

/** The worse of the StatusCodes given, by their severity: the two highest bits (OPC 10000-4, StatusCode). */
function worstOf(statuses: readonly unknown[]): Quality | undefined {
  let worst = 0;
  for (const status of statuses) {
    if (status === undefined || status === null) continue;
    const code = isObject(status) ? (status["Code"] ?? 0) : status;
    if (!Number.isInteger(code) || (code as number) < 0 || (code as number) >= 2 ** 32) return undefined;
    worst = Math.max(worst, Math.floor((code as number) / 2 ** 30));
  }
  // Severity 11 is reserved: nothing good is meant by it.
  return qualities[Math.min(worst, 2)];
}
