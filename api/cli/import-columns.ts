import type { CsvRecord } from "./csv.ts";

const required = ["run", "station", "start", "end", "feature", "value", "unit"] as const;
const known = [...required, "part"] as const;

export type Column = (typeof known)[number];
/** Where each column stands in a line; `part` may be nowhere. */
export type ColumnPlaces = Readonly<Record<Exclude<Column, "part">, number>> & { readonly part?: number };

/** Reads the first line: every column needed must be there once, and none that we would pass over in silence. */
export function columnsOf(
  header: CsvRecord,
): { readonly places: ColumnPlaces } | { readonly mistakes: readonly string[] } {
  const names = header.fields.map((name) => name.trim().toLowerCase());
  if (names.length === 1 && /[;\t]/.test(names[0]!)) {
    return { mistakes: [`1:1: found a first line without commas, expected fields with commas between them`] };
  }
  const columns: readonly string[] = known;
  const mistakes: string[] = [];
  for (const [at, name] of names.entries()) {
    const place = `${header.line}:${header.columns[at]}`;
    if (!columns.includes(name)) {
      mistakes.push(`${place}: found the column ${name || "without a name"}, expected one of ${known.join(", ")}`);
    } else if (names.indexOf(name) < at) mistakes.push(`${place}: found the column ${name} again, expected it once`);
  }
  for (const column of required) {
    if (!names.includes(column)) mistakes.push(`${header.line}:1: found no column ${column}, expected one`);
  }
  if (mistakes.length > 0) return { mistakes };
  return { places: Object.fromEntries(names.map((name, at) => [name, at])) as unknown as ColumnPlaces };
}
