import type { Sample } from "../../spc/model/sample.ts";
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
  readTime,
  reject,
  shown,
} from "./read-fields.ts";

type Attributes = Readonly<Record<string, string>>;

/** Reads one event; returns how many there were: one, good or bad. */
export function decodeEvent(message: JsonObject, reading: Reading, samples: Sample[]): number {
  const { rejections } = reading;
  const series = readId(message, "series", "", rejections);
  if (series === undefined) return 1;
  const tMs = readTime(message, "", rejections);
  if (tMs === undefined) return 1;
  const value = readNumber(message, "value", "", rejections);
  if (value === undefined) return 1;
  const told = message["attributes"];
  const attributes = told === undefined ? undefined : readAttributes(told, rejections);
  if (told !== undefined && attributes === undefined) return 1;

  const entry = findSeries(series, "event", "/series", reading);
  if (entry === undefined || !checkTime(tMs, "/t", reading)) return 1;
  const sample = { series: entry.id, tMs, value, quality: "good" } as const;
  samples.push(attributes === undefined ? sample : { ...sample, attributes });
  return 1;
}

function readAttributes(found: unknown, rejections: Rejection[]): Attributes | undefined {
  const { attributes: most, textLength, idLength } = messageBounds;
  if (!isObject(found) || Object.keys(found).length > most) {
    return reject(
      rejections,
      "not-an-object",
      "/attributes",
      `expected at most ${most} texts in braces, found ${shown(found)}`,
    );
  }
  for (const [key, text] of Object.entries(found)) {
    if (typeof text === "string" && text.length <= textLength && key.length >= 1 && key.length <= idLength) continue;
    return reject(
      rejections,
      "not-a-text",
      "/attributes",
      `expected texts of at most ${textLength} characters, found ${shown(key)}: ${shown(text)}`,
    );
  }
  return found as Attributes;
}
