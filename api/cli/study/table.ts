import { closeSync, fstatSync, openSync } from "node:fs";
import type { Caution } from "../../../spc/model/drawn-chart.ts";
import { CsvError } from "../csv.ts";
import { UsageError } from "../usage-error.ts";
import { Decimals } from "./decimal.ts";
import type { Reading } from "./reading.ts";
import { Records } from "./records.ts";
import { onOneLine, shown } from "./shown.ts";

const separators = { comma: 0x2c, semicolon: 0x3b, tab: 0x09 } as const;
type SeparatorName = keyof typeof separators;

/** A CSV file whose first line has been read. */
export interface Table {
  readonly records: Records;
  readonly decimals: Decimals;
  readonly names: readonly string[];
  /** Size of the file in bytes; null for what is no regular file. */
  readonly bytes: number | null;
  /** Where a column stands; names that are not there, or twice, are an error. */
  field(option: string, name: string): number;
  /** Goes on to the next row that is not blank; checks that it has a field for each column. */
  next(): boolean;
  /** What was read one way and could have been meant another; complete when the last row was read. */
  cautions(): readonly Caution[];
  close(): void;
}

/** Opens a file and reads the line that names its columns. `wanted` helps to tell which separator it has. */
export function openTable(file: string, reading: Reading, wanted: readonly string[]): Table {
  const { handle, bytes } = open(file);
  try {
    return tableOf(handle, bytes, reading, wanted);
  } catch (error) {
    closeSync(handle);
    throw error;
  }
}

function open(file: string): { readonly handle: number; readonly bytes: number | null } {
  try {
    const handle = openSync(file, "r");
    const status = fstatSync(handle);
    if (!status.isDirectory()) return { handle, bytes: status.isFile() ? status.size : null };
    closeSync(handle);
  } catch (error) {
    const why = (error as NodeJS.ErrnoException).code ?? "unknown reason";
    const found = why === "ENOENT" ? "no such file" : `a file that cannot be read (${why})`;
    throw new UsageError(`${onOneLine(file)}: found ${found}, expected a CSV file`);
  }
  throw new UsageError(`${onOneLine(file)}: found a folder, expected a CSV file`);
}

function tableOf(handle: number, bytes: number | null, reading: Reading, wanted: readonly string[]): Table {
  const records = new Records(handle, reading.encoding ?? "utf-8");
  if (records.passOver([0xff, 0xfe]) || records.passOver([0xfe, 0xff])) {
    throw new CsvError(1, 1, "found UTF-16 text, expected UTF-8: save the file as CSV UTF-8");
  }
  const marked = reading.encoding !== "latin-1" && records.passOver([0xef, 0xbb, 0xbf]);
  const separator = chooseSeparator(records, reading, wanted);
  if (separator !== null) records.separator = separators[separator];
  if (!header(records)) throw new CsvError(1, 1, "found an empty file, expected a first line that names the columns");
  const names = Array.from({ length: records.count }, (_, field) => records.text(field).trim());
  const at = names.map((_, field) => records.wrong(field, ""));
  // Where the first line has no separator, there is one column, and a comma below it can only be a decimal one.
  if (separator === null) records.separator = 0;
  const decimals = new Decimals(reading.decimal);
  const line = records.line;
  const held = { blanks: 0 };

  return {
    records,
    decimals,
    names,
    bytes,
    field: (option, name) => {
      const field = names.indexOf(name);
      if (field < 0) {
        const there = names.map((one) => shown(one)).join(", ");
        throw new CsvError(line, 1, `${option}: found no column ${shown(name)}, expected one of ${there}`);
      }
      const second = names.indexOf(name, field + 1);
      if (second < 0) return field;
      throw new CsvError(line, at[second]!.column, `found the column ${shown(name)} again, expected it once`);
    },
    next: names.length === 1 ? () => nextOfOne(records, held) : () => nextRow(records, names.length),
    cautions: () => [
      ...(marked ? [byteOrderMark] : []),
      ...(reading.separator === null && separator !== null && separator !== "comma" ? [guessed(separator)] : []),
      ...(reading.decimal === null && decimals.commas > 0 ? [decimalCommas(decimals.commas)] : []),
    ],
    close: () => closeSync(handle),
  };
}

/** Passes over blank lines before the first line. */
function header(records: Records): boolean {
  while (records.next()) if (!records.blank()) return true;
  return false;
}

/** The separator asked for; else the one under which most wanted names stand; null when the first line has none. */
function chooseSeparator(records: Records, reading: Reading, wanted: readonly string[]): SeparatorName | null {
  if (reading.separator !== null) return reading.separator;
  let best: { readonly name: SeparatorName; readonly found: number; readonly fields: number } | null = null;
  for (const name of ["comma", "semicolon", "tab"] as const) {
    records.separator = separators[name];
    try {
      if (!header(records)) return null;
    } catch (error) {
      // Under another separator the quotes of the first line may well be in order.
      if (error instanceof CsvError) {
        records.again();
        continue;
      }
      throw error;
    }
    const names = new Set(Array.from({ length: records.count }, (_, field) => records.text(field).trim()));
    const found = wanted.filter((one) => names.has(one)).length;
    const fields = records.count;
    records.again();
    if (fields < 2) continue;
    if (best === null || found > best.found || (found === best.found && fields > best.fields)) {
      best = { name, found, fields };
    }
  }
  return best?.name ?? null;
}

/**
 * Where there is one column, a blank line is a missing value, which holds its place; but not at the end of the file,
 * so blank lines are held back until a row follows.
 */
function nextOfOne(records: Records, held: { blanks: number }): boolean {
  if (held.blanks > 0) return blankRow(records, held);
  let blanks = 0;
  while (records.next()) {
    if (records.blank()) blanks += 1;
    else if (records.count > 1) throw wrongCount(records, 1);
    else if (blanks === 0) return true;
    else {
      records.again();
      held.blanks = blanks;
      return blankRow(records, held);
    }
  }
  return false;
}

function blankRow(records: Records, held: { blanks: number }): boolean {
  held.blanks -= 1;
  records.empty();
  return true;
}

/** Where there are several columns, a blank line is nothing; a row has a field for each of them. */
function nextRow(records: Records, fields: number): boolean {
  while (records.next()) {
    if (records.count === fields) return true;
    if (!records.blank()) throw wrongCount(records, fields);
  }
  return false;
}

function wrongCount(records: Records, fields: number): Error {
  const found = `found ${records.count} ${records.count === 1 ? "field" : "fields"}`;
  return records.wrong(Math.min(records.count - 1, fields), `${found}, expected ${fields} as in the first line`);
}

const byteOrderMark: Caution = {
  code: "byte-order-mark",
  text: "the file begins with a byte-order mark, which was passed over and the text read as UTF-8; --encoding latin-1 reads it as three letters of the first column's name",
};

function guessed(separator: SeparatorName): Caution {
  const others = separator === "semicolon" ? "comma or --separator tab" : "comma or --separator semicolon";
  return {
    code: separator === "semicolon" ? "semicolons" : "tabs",
    text: `${separator}s were read as what separates the columns; --separator ${others} reads them otherwise`,
  };
}

function decimalCommas(count: number): Caution {
  return {
    code: "decimal-commas",
    text: `${count} ${count === 1 ? "number was" : "numbers were"} read with a decimal comma, 1,234 as a little more than one; --decimal point reads commas as grouping thousands`,
  };
}
