import { type CsvLine, csvLine, type Separator, separatorOf } from "./csv-line.ts";
import type { HistoryOptions, HistoryReader, HistoryRows } from "./history.ts";
import { unitOf } from "./history.ts";
import { historyNumber, historyTime, notATime } from "./history-fields.ts";
import { reject } from "./read-fields.ts";

interface Column {
  readonly at: number;
  readonly series: string;
  unit: string | undefined;
}

/**
 * One moment a line: `time` first, then one column a series, named in the first line. A second line that begins with
 * `unit` gives units. An empty field is no reading.
 */
export function csvWide(options: HistoryOptions): HistoryReader {
  let columns: readonly Column[] | undefined;
  let width = 0;
  let second = true;
  let separator: Separator | undefined;

  return {
    headLines: 2,
    isReadable: () => columns === undefined || columns.length > 0,
    take: (text, line, rows) => {
      const { rejections } = rows;
      separator ??= separatorOf(text);
      const read = csvLine(text, separator);
      if ("wrong" in read) {
        reject(rejections, "not-csv", `${line}:${read.column}`, read.wrong);
        return;
      }
      if (columns === undefined) {
        columns = columnsOf(read, line, options, rows);
        width = read.fields.length;
        return;
      }
      if (read.fields.length !== width) {
        reject(rejections, "not-csv", `${line}:1`, `expected ${width} fields, found ${read.fields.length}`);
        return;
      }
      const isUnits = second && /^units?$/i.test(read.fields[0]!.trim());
      second = false;
      if (isUnits) for (const column of columns) column.unit = read.fields[column.at]!.trim() || column.unit;
      else takeLine(read, line, columns, options, rows);
    },
  };
}

function columnsOf({ fields, columns }: CsvLine, line: number, options: HistoryOptions, rows: HistoryRows): Column[] {
  const { rejections } = rows;
  const out: Column[] = [];
  if (fields[0]!.trim().toLowerCase() !== "time") {
    reject(rejections, "unknown-column", `${line}:1`, `expected time as the first column, found ${fields[0]}`);
    return out;
  }
  for (let at = 1; at < fields.length; at++) {
    const series = fields[at]!.trim();
    const place = `${line}:${columns[at]}`;
    if (!rows.knows(series)) {
      if (!options.othersIgnored) {
        reject(
          rejections,
          "unknown-series",
          place,
          `${series || "a column without a name"} is in no station of the settings`,
        );
      }
    } else if (out.some((one) => one.series === series)) {
      reject(rejections, "unknown-column", place, `expected ${series} once, found it again`);
    } else out.push({ at, series, unit: unitOf(series, options.units) });
  }
  return out;
}

function takeLine(
  { fields, columns }: CsvLine,
  line: number,
  wanted: readonly Column[],
  options: HistoryOptions,
  rows: HistoryRows,
): void {
  const place = `${line}:1`;
  const said = fields[0]!.trim();
  const tMs = historyTime(said, options);
  if (tMs === undefined) {
    notATime(said, options, place, rows.rejections);
    return;
  }
  for (const { at, series, unit } of wanted) {
    const text = fields[at]!.trim();
    if (text === "") continue;
    const own = `${line}:${columns[at]}`;
    const value = historyNumber(text, options.decimal) ?? text;
    rows.take({
      series,
      tMs,
      value,
      unit,
      quality: "good",
      places: { record: own, value: own, time: place, unit: own },
    });
  }
}
