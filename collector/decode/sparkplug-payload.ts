import { isUtf8 } from "node:buffer";
import { type Varint, type WireReader, wireReader, wireType } from "./protobuf.ts";

/** What we need of a Sparkplug B payload; everything else is passed over (Sparkplug 3.0, 6.4.1, the protobuf schema). */
export interface SparkplugPayload {
  readonly timestampMs: number | null;
  readonly seq: number | null;
  readonly metrics: readonly SparkplugMetric[];
  /** True when the metrics are hidden in a body of another encoding. */
  readonly hasBody: boolean;
}

export interface SparkplugMetric {
  readonly name: string | null;
  readonly alias: number | null;
  readonly timestampMs: number | null;
  readonly datatype: number | null;
  readonly isHistorical: boolean;
  readonly isTransient: boolean;
  readonly isNull: boolean;
  /** The property `Quality`; null where there is none. */
  readonly quality: number | null;
  readonly value: WireValue | null;
}

/** The value as it came: what it means depends on the metric's datatype. */
export type WireValue =
  | { readonly as: "integer"; readonly bits: Varint }
  | { readonly as: "number"; readonly number: number }
  | { readonly as: "boolean"; readonly boolean: boolean }
  | { readonly as: "other" };

/** Most metrics of one message: a node of a plant has thousands, not millions. */
const METRICS = 10_000;

/** The payload, or why the bytes are none. */
export function readPayload(bytes: Uint8Array): SparkplugPayload | string {
  const reader = wireReader(bytes);
  const metrics: SparkplugMetric[] = [];
  let timestampMs: number | null = null;
  let seq: number | null = null;
  let hasBody = false;
  for (let at = reader.next(); at !== null; at = reader.next()) {
    const { field, wire } = at;
    if (field === 1 && wire === wireType.varint) timestampMs = unsigned(reader.varint());
    else if (field === 2 && wire === wireType.bytes) {
      const metric = readMetric(reader.bytes());
      if (typeof metric === "string") return `metric ${metrics.length}: ${metric}`;
      if (metrics.length === METRICS) return `more than ${METRICS} metrics`;
      metrics.push(metric);
    } else if (field === 3 && wire === wireType.varint) seq = unsigned(reader.varint());
    else {
      if (field === 5) hasBody = true;
      reader.passOver(wire);
    }
  }
  return reader.wrong() ?? { timestampMs, seq, metrics, hasBody };
}

function readMetric(bytes: Uint8Array): SparkplugMetric | string {
  const reader = wireReader(bytes);
  let name: string | null = null;
  let alias: number | null = null;
  let timestampMs: number | null = null;
  let datatype: number | null = null;
  let isHistorical = false;
  let isTransient = false;
  let isNull = false;
  let quality: number | null = null;
  let value: WireValue | null = null;
  for (let at = reader.next(); at !== null; at = reader.next()) {
    const { field, wire } = at;
    if (wire === wireType.varint && field >= 2 && field <= 7) {
      const bits = reader.varint();
      if (field === 2) alias = unsigned(bits);
      else if (field === 3) timestampMs = unsigned(bits);
      else if (field === 4) datatype = bits.low;
      else if (field === 5) isHistorical = isTrue(bits);
      else if (field === 6) isTransient = isTrue(bits);
      else isNull = isTrue(bits);
    } else if (field === 1 && wire === wireType.bytes) {
      const text = reader.bytes();
      if (!isUtf8(text)) return "a name that is no UTF-8 text";
      name = Buffer.from(text.buffer, text.byteOffset, text.length).toString("utf8");
    } else if (field === 9 && wire === wireType.bytes) {
      const found = readQuality(reader.bytes());
      if (typeof found === "string") return found;
      quality = found;
    } else if (field >= 10 && field <= 19) value = readValue(field, wire, reader);
    else reader.passOver(wire);
  }
  const wrong = reader.wrong();
  if (wrong !== null) return wrong;
  return { name, alias, timestampMs, datatype, isHistorical, isTransient, isNull, quality, value };
}

function readValue(field: number, wire: number, reader: WireReader): WireValue {
  if (wire === wireType.varint && (field === 10 || field === 11)) return { as: "integer", bits: reader.varint() };
  if (wire === wireType.varint && field === 14) return { as: "boolean", boolean: isTrue(reader.varint()) };
  if (wire === wireType.fixed32 && field === 12) return { as: "number", number: reader.float() };
  if (wire === wireType.fixed64 && field === 13) return { as: "number", number: reader.double() };
  reader.passOver(wire);
  return { as: "other" };
}

/** `Quality` of a PropertySet: its keys and values are two lists of equal length. */
function readQuality(bytes: Uint8Array): number | null | string {
  const reader = wireReader(bytes);
  let place = -1;
  let keys = 0;
  const values: Uint8Array[] = [];
  for (let at = reader.next(); at !== null; at = reader.next()) {
    if (at.wire !== wireType.bytes || at.field > 2) {
      reader.passOver(at.wire);
      continue;
    }
    const part = reader.bytes();
    if (at.field === 2) values.push(part);
    else {
      if (isQuality(part)) place = keys;
      keys += 1;
    }
  }
  const wrong = reader.wrong();
  if (wrong !== null) return wrong;
  if (keys !== values.length) return `${keys} property names for ${values.length} properties`;
  const value = values[place];
  return value === undefined ? null : readPropertyNumber(value);
}

function isQuality(key: Uint8Array): boolean {
  return key.length === 7 && Buffer.from(key.buffer, key.byteOffset, 7).toString("latin1") === "Quality";
}

function readPropertyNumber(bytes: Uint8Array): number | null | string {
  const reader = wireReader(bytes);
  let number: number | null = null;
  let isNull = false;
  for (let at = reader.next(); at !== null; at = reader.next()) {
    if (at.wire === wireType.varint && (at.field === 3 || at.field === 4)) number = unsigned(reader.varint());
    else if (at.wire === wireType.varint && at.field === 2) isNull = isTrue(reader.varint());
    else {
      if (at.field >= 3 && at.field <= 11) number = Number.NaN;
      reader.passOver(at.wire);
    }
  }
  return reader.wrong() ?? (isNull ? null : number);
}

function isTrue({ low, high }: Varint): boolean {
  return low !== 0 || high !== 0;
}

/** Beyond 2^53 not exact: no time, alias or sequence number is so large. */
function unsigned({ low, high }: Varint): number {
  return high * 2 ** 32 + low;
}
