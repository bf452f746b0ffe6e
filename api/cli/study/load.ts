import type { Caution } from "../../../spc/model/drawn-chart.ts";
import type { Span } from "../../../spc/model/grouped.ts";
import type { StudyData } from "../../../spc/study/request.ts";
import { CsvError } from "../csv.ts";
import { UsageError } from "../usage-error.ts";
import { loadCounts } from "./load-counts.ts";
import { loadValues } from "./load-values.ts";
import { loadVectors } from "./load-vectors.ts";
import type { StudyCommand } from "./options.ts";
import { Places } from "./places.ts";
import { rememberedLabels, returningLabels } from "./returning-labels.ts";
import { onOneLine } from "./shown.ts";
import { openTable, type Table } from "./table.ts";
import { TimeCells } from "./time-cells.ts";

/** What a file holds, as a study wants it. */
export interface Loaded {
  readonly rows: number;
  readonly data: StudyData;
  readonly baseline: Span | null;
  readonly cautions: readonly Caution[];
}

/** What the reading of one kind of data gives beside the places. */
export interface LoadedData {
  readonly data: StudyData;
  /** Places that can be plotted. */
  readonly points: number;
}

/** Reads the columns that a command names, and nothing else, in one pass. */
export function load(command: StudyCommand): Loaded {
  const { file } = command;
  try {
    return loadFrom(command);
  } catch (error) {
    const name = onOneLine(file);
    if (error instanceof CsvError) throw new UsageError(`${name}:${error.line}:${error.column}: ${error.message}`);
    const code = (error as NodeJS.ErrnoException).code;
    if (error instanceof Error && code?.startsWith("E") && "syscall" in error) {
      throw new UsageError(`${name}: found a file that cannot be read (${code}), expected a CSV file`);
    }
    throw error;
  }
}

function loadFrom(command: StudyCommand): Loaded {
  const { columns, file, reading } = command;
  const wanted = [
    ...columns.values,
    columns.count,
    columns.size,
    columns.subgroup,
    columns.time,
    columns.part,
    columns.nominal,
  ];
  const named = wanted.filter((name) => name !== null);
  const table = openTable(file, reading, named);
  try {
    const time =
      columns.time === null ? null : new TimeCells(table.field("--time", columns.time), columns.time, table.decimals);
    const label = columns.subgroup === null ? null : labelColumn(table, command, columns.subgroup, named);
    const expected = expectedRows(table);
    const places = new Places({ label, time, baseline: command.baseline, expected });
    const loaded = byKind(table, places, command, expected);
    if (places.rows === 0)
      throw new CsvError(table.records.line, 1, "found no data rows below the first line, expected at least two");
    if (loaded.points < 2) {
      const found = `${loaded.points} ${loaded.points === 1 ? "point" : "points"} in ${places.rows} data rows`;
      throw new CsvError(places.line, 1, `found ${found}, expected at least two points to plot`);
    }
    return {
      rows: places.rows,
      data: loaded.data,
      baseline: places.baseline(),
      cautions: [...table.cautions(), ...(time?.local === true ? [localTimes] : [])],
    };
  } finally {
    table.close();
  }
}

function byKind(table: Table, places: Places, command: StudyCommand, expected: number): LoadedData {
  if (command.columns.count !== null) return loadCounts(table, places, command, expected);
  if (command.columns.values.length > 1) return loadVectors(table, places, command, expected);
  return loadValues(table, places, command, expected);
}

function labelColumn(table: Table, { file, reading }: StudyCommand, name: string, wanted: readonly string[]) {
  const field = table.field("--subgroup", name);
  if (table.bytes === null) return { field, name, returning: rememberedLabels() };
  return { field, name, returning: returningLabels((until) => labelsAgain(file, reading, wanted, field, until)) };
}

/** The labels of the first subgroups once more, from the file itself. */
function* labelsAgain(
  file: string,
  reading: StudyCommand["reading"],
  wanted: readonly string[],
  field: number,
  until: number,
): Generator<Buffer> {
  const table = openTable(file, reading, wanted);
  try {
    let label: Buffer | null = null;
    for (let count = 0; count < until && table.next(); ) {
      const { records } = table;
      const bytes: Buffer = records.literal(field)
        ? records.bytes.subarray(records.starts[field]!, records.ends[field]!)
        : Buffer.from(records.text(field));
      if (label !== null && bytes.equals(label)) continue;
      label = Buffer.from(bytes);
      count += 1;
      yield label;
    }
  } finally {
    table.close();
  }
}

/** How many rows the file may have, by the length of its first lines; lists grow where that was wrong. */
function expectedRows({ bytes, names, records }: Table): number {
  if (bytes === null) return 1024;
  const shortest = names.length * 2;
  return Math.ceil((1.05 * bytes) / Math.max(shortest, records.lineLength())) + 16;
}

const localTimes: Caution = {
  code: "local-times",
  text: "times without an offset were taken as they stand; where clocks go back an hour they seem out of order, which an offset such as +01:00 or Z avoids",
};
