import type { Quality, Sample } from "../../spc/model/sample.ts";
import type { Rejection } from "./decoder.ts";
import { messageBounds } from "./payload-v1-schema.ts";
import {
  checkTime,
  findSeries,
  isObject,
  type JsonObject,
  type Reading,
  readId,
  readNumber,
  readText,
  readTime,
  reject,
  shown,
  unknownUnit,
} from "./read-fields.ts";

/** Reads `readings`; returns how many readings stood there, good and bad. */
export function decodeReadings(message: JsonObject, reading: Reading, samples: Sample[]): number {
  const records = message["readings"];
  const { rejections } = reading;
  if (!Array.isArray(records) || records.length === 0 || records.length > messageBounds.readings) {
    const found = Array.isArray(records) ? `a list of ${records.length}` : shown(records);
    reject(rejections, "not-a-list", "/readings", `expected a list of 1 to ${messageBounds.readings}, found ${found}`);
    return 1;
  }
  let items = 0;
  for (let i = 0; i < records.length; i++) items += decodeRecord(records[i], `/readings/${i}`, reading, samples);
  return items;
}

function decodeRecord(record: unknown, place: string, reading: Reading, samples: Sample[]): number {
  if (!isObject(record)) {
    reject(reading.rejections, "not-an-object", place, `expected a reading in braces, found ${shown(record)}`);
    return 1;
  }
  if (record["values"] !== undefined) return decodeBlock(record, place, reading, samples);
  decodeOne(record, place, reading, samples);
  return 1;
}

function decodeOne(record: JsonObject, place: string, reading: Reading, samples: Sample[]): void {
  const { rejections } = reading;
  const series = readId(record, "series", place, rejections);
  if (series === undefined) return;
  const tMs = readTime(record, place, rejections);
  if (tMs === undefined) return;
  const unit = readText(record, "unit", place, 24, rejections);
  if (unit === undefined) return;
  const quality = readQuality(record, place, rejections);
  if (quality === undefined) return;
  const raw = record["value"];
  if (raw === null && quality !== "bad") {
    reject(
      rejections,
      "value-missing",
      `${place}/value`,
      `null is taken with quality "bad" only, found ${shown(quality)}`,
    );
    return;
  }
  const number = raw === null ? 0 : readNumber(record, "value", place, rejections);
  if (number === undefined) return;

  const entry = findSeries(series, "reading", `${place}/series`, reading);
  if (entry === undefined || !checkTime(tMs, `${place}/t`, reading)) return;
  const value = entry.toCanonical(number, unit);
  if (value === undefined) unknownUnit(entry, unit, `${place}/unit`, rejections);
  else samples.push({ series: entry.id, tMs, value: raw === null ? null : value, quality });
}

/** A dense block is taken whole or not at all, so it counts as all its values, and as one when its list is no list. */
function decodeBlock(record: JsonObject, place: string, reading: Reading, samples: Sample[]): number {
  const { rejections } = reading;
  const values = record["values"];
  const most = messageBounds.blockValues;
  if (!Array.isArray(values) || values.length === 0 || values.length > most) {
    const found = Array.isArray(values) ? `a list of ${values.length}` : shown(values);
    reject(rejections, "not-a-list", `${place}/values`, `expected a list of 1 to ${most} numbers, found ${found}`);
    return 1;
  }
  if (record["value"] !== undefined) {
    reject(rejections, "value-and-values", `${place}/value`, "expected either value or values, found both");
    return 1;
  }
  const bad = values.findIndex((value) => value !== null && !(typeof value === "number" && Number.isFinite(value)));
  if (bad >= 0) {
    reject(
      rejections,
      "not-a-number",
      `${place}/values/${bad}`,
      `expected a number or null, found ${shown(values[bad])}`,
    );
    return 1;
  }
  const series = readId(record, "series", place, rejections);
  if (series === undefined) return 1;
  const tMs = readTime(record, place, rejections);
  if (tMs === undefined) return 1;
  const everyMs = readNumber(record, "everyMs", place, rejections, 1, 3_600_000);
  if (everyMs === undefined) return 1;
  const unit = readText(record, "unit", place, 24, rejections);
  if (unit === undefined) return 1;
  const quality = readQuality(record, place, rejections);
  if (quality === undefined) return 1;

  const entry = findSeries(series, "reading", `${place}/series`, reading);
  if (entry === undefined || !checkTime(tMs, `${place}/t`, reading)) return 1;
  if (!checkTime(tMs + everyMs * (values.length - 1), `${place}/values/${values.length - 1}`, reading)) return 1;
  const canonical = values.map((value: number | null) => (value === null ? null : entry.toCanonical(value, unit)));
  if (entry.toCanonical(0, unit) === undefined || canonical.includes(undefined)) {
    unknownUnit(entry, unit, `${place}/unit`, rejections);
    return 1;
  }
  canonical.forEach((value, i) => {
    const t = Math.round(tMs + i * everyMs);
    samples.push({ series: entry.id, tMs: t, value: value ?? null, quality: value === null ? "bad" : quality });
  });
  return values.length;
}

function readQuality(record: JsonObject, place: string, rejections: Rejection[]): Quality | undefined {
  const quality = record["quality"];
  if (quality === undefined) return "good";
  if (quality === "good" || quality === "uncertain" || quality === "bad") return quality;
  return reject(
    rejections,
    "unknown-quality",
    `${place}/quality`,
    `expected good, uncertain or bad, found ${shown(quality)}`,
  );
}
