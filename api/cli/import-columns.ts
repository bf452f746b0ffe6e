import type { CsvRecord } from "./csv.ts";

/** Columns of a kind of file: those that must be there, and those that may. */
export interface Columns<Needed extends string, Extra extends string> {
  readonly needed: readonly Needed[];
  readonly extra: readonly Extra[];
}

/** Where each column stands in a line; one that may be absent may be nowhere. */
export type ColumnPlaces<Needed extends string, Extra extends string> = Readonly<Record<Needed, number>> &
  Readonly<Partial<Record<Extra, number>>>;

export const runColumns = {
  needed: ["run", "station", "start", "end", "feature", "value", "unit"],
  extra: ["part"],
} as const satisfies Columns<string, string>;

export type RunColumn = (typeof runColumns)["needed"][number] | (typeof runColumns)["extra"][number];
export type RunPlaces = ColumnPlaces<(typeof runColumns)["needed"][number], (typeof runColumns)["extra"][number]>;

/** Reads the first line: every column needed must be there once, and none that we would pass over in silence. */
export function columnsOf<Needed extends string, Extra extends string>(
  header: CsvRecord,
  { needed, extra }: Columns<Needed, Extra>,
): { readonly places: ColumnPlaces<Needed, Extra> } | { readonly mistakes: readonly string[] } {
  const names = header.fields.map((name) => name.trim().toLowerCase());
  if (names.length === 1 && /[;\t]/.test(names[0]!)) {
    return { mistakes: [`1:1: found a first line without commas, expected fields with commas between them`] };
  }
  const columns: readonly string[] = [...needed, ...extra];
  const mistakes: string[] = [];
  for (const [at, name] of names.entries()) {
    const place = `${header.line}:${header.columns[at]}`;
    if (!columns.includes(name)) {
      mistakes.push(`${place}: found the column ${name || "without a name"}, expected one of ${columns.join(", ")}`);
    } else if (names.indexOf(name) < at) mistakes.push(`${place}: found the column ${name} again, expected it once`);
  }
  for (const column of needed) {
    if (!names.includes(column)) mistakes.push(`${header.line}:1: found no column ${column}, expected one`);
  }
  if (mistakes.length > 0) return { mistakes };
  return { places: Object.fromEntries(names.map((name, at) => [name, at])) as unknown as ColumnPlaces<Needed, Extra> };
}
