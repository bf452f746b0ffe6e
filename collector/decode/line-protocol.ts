import { type HistoryOptions, type HistoryReader, type HistoryRows, unitOf } from "./history.ts";
import { historyNumber, historyTime, notATime } from "./history-fields.ts";
import { reject } from "./read-fields.ts";

interface Field {
  readonly key: string;
  readonly value: number | boolean | string;
  readonly column: number;
}

interface Point {
  readonly measurement: string;
  readonly tags: ReadonlyMap<string, string>;
  readonly fields: readonly Field[];
  readonly time: string;
  readonly timeColumn: number;
}

/**
 * Line protocol: `measurement,tag=value field=1.5,other=2i timestamp`. The series of each field is named by a template
 * of `{measurement}`, `{field}` and tags. A point without a timestamp means the reader's own clock, so it is refused.
 */
export function lineProtocol(options: HistoryOptions): HistoryReader {
  return {
    headLines: 0,
    isReadable: () => true,
    take: (text, line, rows) => {
      if (text.startsWith("#")) return;
      const point = readPoint(text);
      if ("wrong" in point) reject(rows.rejections, "not-line-protocol", `${line}:${point.column}`, point.wrong);
      else takePoint(point, line, options, rows);
    },
  };
}

function takePoint(point: Point, line: number, options: HistoryOptions, rows: HistoryRows): void {
  const { rejections } = rows;
  const timePlace = `${line}:${point.timeColumn}`;
  const tMs = historyTime(point.time, options);
  if (tMs === undefined) {
    notATime(point.time, options, timePlace, rejections);
    return;
  }
  for (const { key, value, column } of point.fields) {
    const place = `${line}:${column}`;
    const series = named(options.template, point, key);
    if (series === undefined) {
      if (options.othersIgnored) continue;
      reject(rejections, "unknown-series", place, `the point has not every tag of the template ${options.template}`);
      continue;
    }
    if (options.othersIgnored && !rows.knows(series)) continue;
    const unit = unitOf(series, options.units);
    rows.take({
      ...{ series, tMs, value, unit, quality: "good" },
      places: { record: place, value: place, time: timePlace, unit: place },
    });
  }
}

function named(template: string, { measurement, tags }: Point, field: string): string | undefined {
  let whole = true;
  const name = template.replaceAll(/\{([^}]*)\}/g, (_, word: string) => {
    const part = word === "measurement" ? measurement : word === "field" ? field : tags.get(word);
    if (part === undefined) whole = false;
    return part ?? "";
  });
  return whole ? name : undefined;
}

type Wrong = { readonly column: number; readonly wrong: string };

function readPoint(text: string): Point | Wrong {
  const keyEnd = endOf(text, 0, " ");
  if (keyEnd >= text.length) return { column: text.length + 1, wrong: "expected a space and fields after the tags" };
  const [measurement = "", ...pairs] = split(text.slice(0, keyEnd), ",");
  if (measurement === "") return { column: 1, wrong: "expected a measurement's name" };
  const tags = new Map<string, string>();
  for (const pair of pairs) {
    const at = endOf(pair, 0, "=");
    if (at <= 0 || at >= pair.length - 1)
      return { column: measurement.length + 1, wrong: `expected tag=value, found ${pair}` };
    tags.set(plain(pair.slice(0, at)), plain(pair.slice(at + 1)));
  }
  const fieldsFrom = skip(text, keyEnd);
  const fieldsEnd = endOf(text, fieldsFrom, " ", true);
  const fields: Field[] = [];
  for (let at = fieldsFrom; at < fieldsEnd; ) {
    const end = Math.min(endOf(text, at, ",", true), fieldsEnd);
    const equals = endOf(text, at, "=");
    if (equals === at || equals >= end - 1) return { column: at + 1, wrong: "expected field=value" };
    const value = fieldValue(text.slice(equals + 1, end));
    if (value === undefined)
      return {
        column: equals + 2,
        wrong: `expected a number, true, false or a text in quotes, found ${text.slice(equals + 1, Math.min(end, equals + 40))}`,
      };
    fields.push({ key: plain(text.slice(at, equals)), value, column: at + 1 });
    at = end + 1;
  }
  if (fields.length === 0) return { column: fieldsFrom + 1, wrong: "expected field=value" };
  const timeFrom = skip(text, fieldsEnd);
  return {
    measurement: plain(measurement),
    tags,
    fields,
    time: text.slice(timeFrom).trimEnd(),
    timeColumn: timeFrom + 1,
  };
}

/** Numbers as they are, `i` and `u` whole ones, the ten ways to write a truth, texts in quotes; undefined for anything else. */
function fieldValue(text: string): Field["value"] | undefined {
  if (/^(?:t|T|true|True|TRUE)$/.test(text)) return true;
  if (/^(?:f|F|false|False|FALSE)$/.test(text)) return false;
  if (/^(?:-?\d+i|\d+u)$/.test(text)) return Number(text.slice(0, -1));
  if (/^"(?:[^"\\]|\\.)*"$/.test(text)) return text;
  return historyNumber(text);
}

/** Where a character stands that no backslash escapes, and outside of quotes where those count; else the end. */
function endOf(text: string, from: number, wanted: string, quotes: boolean = false): number {
  let quoted = false;
  for (let at = from; at < text.length; at++) {
    const char = text[at];
    if (char === "\\") at += 1;
    else if (quotes && char === '"') quoted = !quoted;
    else if (char === wanted && !quoted) return at;
  }
  return text.length;
}

function split(text: string, by: string): string[] {
  const out: string[] = [];
  for (let at = 0; at <= text.length; ) {
    const end = endOf(text, at, by);
    out.push(text.slice(at, end));
    at = end + 1;
  }
  return out;
}

function skip(text: string, from: number): number {
  let at = from;
  while (text[at] === " ") at += 1;
  return at;
}

function plain(text: string): string {
  return text.includes("\\") ? text.replaceAll(/\\([ ,=\\])/g, "$1") : text;
}
