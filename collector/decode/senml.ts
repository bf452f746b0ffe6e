import type { Sample } from "../../spc/model/sample.ts";
import type { SourceSettings } from "../platform/settings/source-schema.ts";
import type { RawMessage } from "../source/message-source.ts";
import type { Decoded, MessageDecoder, Rejection, SeriesCatalogue } from "./decoder.ts";
import { messageBounds } from "./payload-v1-schema.ts";
import { isObject, type JsonObject, type Reading, reject, shown } from "./read-fields.ts";
import { readJson } from "./read-json.ts";
import { senmlUnit } from "./senml-units.ts";
import { takeReading } from "./take-reading.ts";

type SenmlSource = Extract<SourceSettings, { format: "senml" }>;
type Row = SenmlSource["map"][number];

/** Times below this are seconds from now, others seconds since 1970 (RFC 8428, 4.5.3). */
const ABSOLUTE_FROM = 2 ** 28;
/** Version 10 is RFC 8428; 26 adds secondary units (RFC 9100, 4). What is below 10 was written before the RFC. */
const SECONDARY_UNITS = 26;
const BASE_VERSION = 10;

const valueLabels = ["v", "vb", "vs", "vd"] as const;
const baseTypes = { bn: "string", bt: "number", bu: "string", bv: "number" } as const;
type BaseLabel = keyof typeof baseTypes;

/** A base value in force, or the place where one stands that cannot be read: all that rests on it is refused. */
type Base = { readonly value: unknown } | { readonly wrongAt: string };

interface Pack {
  readonly reading: Reading;
  readonly rows: ReadonlyMap<string, Row>;
  readonly ignoreOthers: boolean;
  readonly base: Map<BaseLabel, Base>;
  readonly samples: Sample[];
}

/** Decoder of SenML JSON (RFC 8428). Relative times count from the arrival of the message. */
export function senml(source: SenmlSource, catalogue: SeriesCatalogue): MessageDecoder {
  const rows = new Map(source.map.map((row) => [row.name, row]));
  return {
    format: "senml",
    decode: (raw) => {
      const rejections: Rejection[] = [];
      const reading = { catalogue, source: source.id, receivedMs: raw.receivedMs, rejections };
      const base = new Map<BaseLabel, Base>();
      return decodePack(raw, { reading, rows, ignoreOthers: source.others === "ignore", base, samples: [] });
    },
  };
}

function decodePack(raw: RawMessage, pack: Pack): Decoded {
  const { reading, samples } = pack;
  const { source, rejections } = reading;
  const records = readRecords(raw, rejections);
  let items = 1;
  if (records !== undefined) {
    items = 0;
    for (let i = 0; i < records.length; i++) items += decodeRecord(records[i], `/${i}`, pack);
  }
  return { source, sequence: null, samples, snapshots: [], rejections, items, samplesPerItem: 1 };
}

/** The records, when the pack as a whole is one that we understand. */
function readRecords(raw: RawMessage, rejections: Rejection[]): readonly unknown[] | undefined {
  const records = readJson(raw, rejections);
  if (records === undefined) return undefined;
  const most = messageBounds.readings;
  if (!Array.isArray(records) || records.length === 0 || records.length > most) {
    return reject(rejections, "not-a-list", "", `expected a list of 1 to ${most} records, found ${shown(records)}`);
  }
  for (let i = 0; i < records.length; i++) {
    if (isObject(records[i]) && !isUnderstood(records[i], `/${i}`, rejections)) return undefined;
  }
  return records;
}

/** A version or a label that must be understood and is not makes the whole pack unusable (RFC 8428, 4.4). */
function isUnderstood(record: JsonObject, place: string, rejections: Rejection[]): boolean {
  const version = record["bver"];
  if (version !== undefined && !isKnownVersion(version)) {
    const expected = `at most ${BASE_VERSION}, or ${SECONDARY_UNITS}`;
    reject(rejections, "unknown-version", `${place}/bver`, `expected ${expected}, found ${shown(version)}`);
    return false;
  }
  const strange = Object.keys(record).find((label) => label.endsWith("_"));
  if (strange === undefined) return true;
  reject(rejections, "unknown-label", place, `the label ${shown(strange)} must be understood, and is not known here`);
  return false;
}

function isKnownVersion(version: unknown): boolean {
  if (!Number.isSafeInteger(version)) return false;
  const number = version as number;
  return (number >= 1 && number <= BASE_VERSION) || number === SECONDARY_UNITS;
}

/** Returns how many measurements the record is: one, or none when it only sets base values. */
function decodeRecord(record: unknown, place: string, pack: Pack): number {
  const { rejections } = pack.reading;
  if (!isObject(record)) {
    reject(rejections, "not-an-object", place, `expected a record in braces, found ${shown(record)}`);
    return 1;
  }
  setBase(record, place, pack);
  if (!Object.keys(record).some((label) => !label.startsWith("b"))) return 0;
  const name = text(record, "n", "bn", place, pack);
  if (name === undefined) return 1;
  const row = pack.rows.get(name);
  if (row === undefined) {
    if (pack.ignoreOthers) return 0;
    reject(rejections, "unknown-series", `${place}/n`, `${shown(name)} stands in no row of the source's map`);
    return 1;
  }
  decodeMeasurement(record, row, place, pack);
  return 1;
}

function setBase(record: JsonObject, place: string, { base }: Pack): void {
  for (const label of Object.keys(baseTypes) as BaseLabel[]) {
    const value = record[label];
    if (value === undefined) continue;
    const good = typeof value === baseTypes[label] && value !== Infinity && value !== -Infinity;
    base.set(label, good ? { value } : { wrongAt: `${place}/${label}` });
  }
}

function decodeMeasurement(record: JsonObject, row: Row, place: string, pack: Pack): void {
  const { reading, samples } = pack;
  const { rejections } = reading;
  const found = valueLabels.filter((label) => record[label] !== undefined);
  const label = found[0];
  if (label === undefined) {
    reject(rejections, "value-missing", `${place}/v`, "expected a value; a sum over time is not taken as one");
    return;
  }
  if (found.length > 1) {
    reject(rejections, "two-values", `${place}/${found[1]}`, `expected one value, found ${found.join(" and ")}`);
    return;
  }
  const seconds = sum(record, "t", "bt", place, "not-a-time", pack);
  if (seconds === undefined) return;
  const unit = readUnit(record, row, place, pack);
  if (unit === null) return;
  const value = label === "v" ? sum(record, "v", "bv", place, "not-a-number", pack) : record[label];
  if (value === undefined) return;
  if (label === "vb" && typeof value !== "boolean") {
    reject(rejections, "not-a-number", `${place}/vb`, `expected true or false, found ${shown(value)}`);
    return;
  }
  takeReading(
    {
      series: row.series,
      tMs: Math.round(seconds < ABSOLUTE_FROM ? reading.receivedMs + seconds * 1000 : seconds * 1000),
      value,
      unit,
      quality: "good",
      places: { record: place, value: `${place}/${label}`, time: `${place}/t`, unit: `${place}/u` },
    },
    reading,
    samples,
  );
}

/** The UCUM code; undefined where none is given, null where one is that we do not know, with the reason noted. */
function readUnit(record: JsonObject, row: Row, place: string, pack: Pack): string | undefined | null {
  const { rejections } = pack.reading;
  const base = pack.base.get("bu");
  const own = record["u"];
  if (own === undefined && base !== undefined && "wrongAt" in base) {
    reject(rejections, "unknown-unit", base.wrongAt, "expected a base unit as text");
    return null;
  }
  const symbol = own !== undefined || base === undefined || "wrongAt" in base ? own : base.value;
  if (symbol === undefined) return row.unit;
  const unit = typeof symbol === "string" ? senmlUnit(symbol) : undefined;
  if (unit !== undefined) return unit;
  reject(
    rejections,
    "unknown-unit",
    `${place}/u`,
    `${shown(symbol)} is no SenML unit that one of our series can be in`,
  );
  return null;
}

/** A text of the record after the base in force. */
function text(record: JsonObject, label: "n", baseLabel: "bn", place: string, pack: Pack): string | undefined {
  const { rejections } = pack.reading;
  const base = pack.base.get(baseLabel);
  if (base !== undefined && "wrongAt" in base) {
    return reject(rejections, "not-a-text", base.wrongAt, "expected a base name as text");
  }
  const before = base === undefined ? "" : String(base.value);
  const own = record[label] === undefined ? "" : record[label];
  if (typeof own === "string" && before.length + own.length >= 1 && own.length <= messageBounds.textLength) {
    return before + own;
  }
  const most = messageBounds.textLength;
  return reject(
    rejections,
    "not-a-text",
    `${place}/${label}`,
    `expected a name of 1 to ${most} characters, found ${shown(record[label])}`,
  );
}

/** A number of the record plus the base in force; what is missing is zero. */
function sum(
  record: JsonObject,
  label: "t" | "v",
  baseLabel: "bt" | "bv",
  place: string,
  code: string,
  pack: Pack,
): number | undefined {
  const { rejections } = pack.reading;
  const base = pack.base.get(baseLabel);
  if (base !== undefined && "wrongAt" in base) {
    return reject(rejections, code, base.wrongAt, "expected a finite base number");
  }
  const own = record[label] === undefined ? 0 : record[label];
  const whole = typeof own === "number" ? own + (base === undefined ? 0 : (base.value as number)) : Number.NaN;
  if (Number.isFinite(whole)) return whole;
  return reject(rejections, code, `${place}/${label}`, `expected a finite number, found ${shown(record[label])}`);
}
