import { readFileSync } from "node:fs";
import { csvRows } from "./csv-rows.ts";

/** From the root of the project, where all tests and reports run. */
const folder = "tests/reference/data/published/";

/** One published record: a row of a CSV file, an entry of a JSON list, or a key of a JSON object. */
export interface PublishedRecord {
  readonly id: string;
  readonly body: unknown;
}

/** All records of a file in `tests/reference/data/published`. */
export function publishedRecords(file: string): readonly PublishedRecord[] {
  const text = readFileSync(folder + file, "utf8");
  if (file.endsWith(".csv")) return csvRows(text).map((body, i) => ({ id: `row ${i + 2}`, body }));
  const whole: unknown = JSON.parse(text);
  if (Array.isArray(whole)) {
    return whole.map((body: { id?: string; name?: string }, i) => ({ id: body.id ?? body.name ?? `${i}`, body }));
  }
  return Object.entries(whole as object).map(([id, body]) => ({ id, body }));
}

/** A column of a series that other records are computed from: `column("ryan_t2", "y1")`. */
export function seriesColumn(series: string, name: string): readonly number[] {
  const rows = csvRows(readFileSync(`${folder}series/${series}.csv`, "utf8"));
  return rows.map((row) => {
    const cell = row[name];
    if (cell === undefined || cell === "") throw new Error(`${series}.csv has no column ${name}`);
    return Number(cell);
  });
}
