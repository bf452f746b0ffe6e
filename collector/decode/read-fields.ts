import type { Rejection, SeriesCatalogue, SeriesEntry } from "./decoder.ts";
import { instantMs } from "./instant.ts";
import { messageBounds } from "./payload-v1-schema.ts";

export type JsonObject = Readonly<Record<string, unknown>>;

/** What a message is read against, and where its rejections go. */
export interface Reading {
  readonly catalogue: SeriesCatalogue;
  readonly source: string;
  readonly receivedMs: number;
  readonly rejections: Rejection[];
}

/** Before this no plant of ours sent anything: a clock that was never set. */
const EARLIEST_MS = Date.UTC(2000, 0, 1);
const DAY_MS = 86_400_000;

/** Notes a rejection; `undefined` lets a check end in one line. */
export function reject(rejections: Rejection[], code: string, place: string, detail: string): undefined {
  rejections.push({ code, place, detail });
  return undefined;
}

export function isObject(value: unknown): value is JsonObject {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/** A found value, shortened. Lists and braces are only named: to write one out that is nested deep overflows the stack. */
export function shown(value: unknown): string {
  if (value === undefined) return "nothing";
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (typeof value === "object" && value !== null) return "braces";
  // JSON has no word for what is larger than any number, and would write null.
  const isWord = typeof value === "number" && !Number.isFinite(value);
  const text = isWord ? String(value) : (JSON.stringify(typeof value === "string" ? value.slice(0, 61) : value) ?? "");
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}

export function readText(
  from: JsonObject,
  key: string,
  place: string,
  most: number,
  rejections: Rejection[],
): string | undefined {
  const text = from[key];
  if (typeof text === "string" && text.length >= 1 && text.length <= most) return text;
  return reject(
    rejections,
    "not-a-text",
    `${place}/${key}`,
    `expected a text of 1 to ${most} characters, found ${shown(text)}`,
  );
}

export function readNumber(
  from: JsonObject,
  key: string,
  place: string,
  rejections: Rejection[],
  least: number = -Infinity,
  most: number = Infinity,
): number | undefined {
  const number = from[key];
  if (typeof number === "number" && Number.isFinite(number) && number >= least && number <= most) return number;
  const range = least === -Infinity ? "" : most === Infinity ? ` above 0` : ` from ${least} to ${most}`;
  return reject(rejections, "not-a-number", `${place}/${key}`, `expected a number${range}, found ${shown(number)}`);
}

/** Time of a record: shape only; `checkTime` asks whether it can be true. */
export function readTime(from: JsonObject, place: string, rejections: Rejection[]): number | undefined {
  const t = from["t"];
  if (typeof t === "number" && Number.isSafeInteger(t)) return t;
  const ms = typeof t === "string" ? instantMs(t) : undefined;
  if (ms !== undefined) return ms;
  return reject(
    rejections,
    "not-a-time",
    `${place}/t`,
    `expected ISO 8601 with an offset, such as 2026-11-25T08:05:12.345Z, or whole milliseconds since 1970, found ${shown(t)}`,
  );
}

/** False for NaN. */
export function canBeTrue(tMs: number, receivedMs: number): boolean {
  return tMs >= EARLIEST_MS && tMs <= receivedMs + DAY_MS;
}

export function checkTime(tMs: number, place: string, { receivedMs, rejections }: Reading): boolean {
  if (canBeTrue(tMs, receivedMs)) return true;
  const [code, what] =
    tMs < EARLIEST_MS ? ["time-too-old", "before the year 2000"] : ["time-in-future", "more than a day ahead"];
  reject(rejections, code, place, `${iso(tMs)} is ${what}: the message came at ${iso(receivedMs)}`);
  return false;
}

/** The series, when it is of this source and kind. */
export function findSeries(
  id: string,
  kind: SeriesEntry["kind"],
  place: string,
  { catalogue, source, rejections }: Reading,
): SeriesEntry | undefined {
  const entry = catalogue.find(id);
  if (entry === undefined) return reject(rejections, "unknown-series", place, `${id} is in no station of the settings`);
  if (entry.source !== source) {
    return reject(
      rejections,
      "wrong-source",
      place,
      `${id} belongs to the source ${entry.source}, the message is of ${source}`,
    );
  }
  if (entry.kind !== kind) {
    return reject(rejections, "wrong-kind", place, `${id} is of kind ${entry.kind}, this is a ${kind}`);
  }
  return entry;
}

export function unknownUnit(entry: SeriesEntry, unit: string, place: string, rejections: Rejection[]): undefined {
  return reject(
    rejections,
    "unknown-unit",
    place,
    `${shown(unit)} is no UCUM code that converts to ${entry.unit}, the unit of ${entry.id}`,
  );
}

export function readId(from: JsonObject, key: string, place: string, rejections: Rejection[]): string | undefined {
  return readText(from, key, place, messageBounds.idLength, rejections);
}

function iso(ms: number): string {
  return Math.abs(ms) <= 8.64e15 ? new Date(ms).toISOString() : String(ms);
}
