import type { Quality } from "../../spc/model/sample.ts";
import { type CsvLine, csvLine, type Separator, separatorOf } from "./csv-line.ts";
import type { HistoryOptions, HistoryReader, HistoryRows } from "./history.ts";
import { unitOf } from "./history.ts";
import { historyNumber, historyTime, notATime } from "./history-fields.ts";
import { reject } from "./read-fields.ts";

const required = ["series", "time", "value"] as const;
const known: readonly string[] = [...required, "unit", "quality"];
const qualities: readonly string[] = ["good", "uncertain", "bad"] satisfies readonly Quality[];

/** One reading a line: `series,time,value,unit` and perhaps `quality`, in any order, named in the first line. */
export function csvLong(options: HistoryOptions): HistoryReader {
  let places: ReadonlyMap<string, number> | undefined;
  let separator: Separator | undefined;
  return {
    headLines: 1,
    isReadable: () => places === undefined || places.size > 0,
    take: (text, line, rows) => {
      const { rejections } = rows;
      separator ??= separatorOf(text);
      const read = csvLine(text, separator);
      if ("wrong" in read) reject(rejections, "not-csv", `${line}:${read.column}`, read.wrong);
      else if (places === undefined) places = columnsOf(read, line, rows);
      else if (places.size > 0) takeLine(read, line, places, options, rows);
    },
  };
}

function columnsOf(
  { fields, columns }: CsvLine,
  line: number,
  { rejections }: HistoryRows,
): ReadonlyMap<string, number> {
  const places = new Map<string, number>();
  const before = rejections.length;
  fields.forEach((field, i) => {
    const name = field.trim().toLowerCase();
    const place = `${line}:${columns[i]}`;
    if (!known.includes(name)) {
      reject(rejections, "unknown-column", place, `expected one of ${known.join(", ")}, found ${name || "nothing"}`);
    } else if (places.has(name)) reject(rejections, "unknown-column", place, `expected ${name} once, found it again`);
    else places.set(name, i);
  });
  for (const name of required) {
    if (!places.has(name)) reject(rejections, "unknown-column", `${line}:1`, `expected a column ${name}, found none`);
  }
  return rejections.length === before ? places : new Map();
}

function takeLine(
  { fields, columns }: CsvLine,
  line: number,
  places: ReadonlyMap<string, number>,
  options: HistoryOptions,
  rows: HistoryRows,
): void {
  const { rejections } = rows;
  const { units, othersIgnored, decimal } = options;
  if (fields.length !== places.size) {
    reject(rejections, "not-csv", `${line}:1`, `expected ${places.size} fields, found ${fields.length}`);
    return;
  }
  const text = (name: string): string => fields[places.get(name) ?? -1]?.trim() ?? "";
  const place = (name: string): string => `${line}:${columns[places.get(name) ?? 0]}`;
  const series = text("series");
  if (othersIgnored && !rows.knows(series)) return;
  const tMs = historyTime(text("time"), options);
  if (tMs === undefined) {
    notATime(text("time"), options, place("time"), rejections);
    return;
  }
  const quality = text("quality") || "good";
  if (!qualities.includes(quality)) {
    reject(
      rejections,
      "unknown-quality",
      place("quality"),
      `expected good, uncertain, bad or nothing, found ${quality}`,
    );
    return;
  }
  const said = text("value");
  const value = said === "" ? null : (historyNumber(said, decimal) ?? said);
  const unit = text("unit") || unitOf(series, units);
  const at = { record: place("series"), value: place("value"), time: place("time"), unit: place("unit") };
  rows.take({ series, tMs, value, unit, quality: quality as Quality, places: at });
}
