import type { VectorForm } from "../../../spc/study/forms.ts";
import { GrowingIndexes, GrowingNumbers } from "./growing.ts";
import type { LoadedData } from "./load.ts";
import { NumberCells } from "./number-cells.ts";
import type { StudyCommand } from "./options.ts";
import type { Places } from "./places.ts";
import type { Table } from "./table.ts";

/** Several columns that belong together; a row that lacks one of them holds its place and gives no vector. */
export function loadVectors(table: Table, places: Places, command: StudyCommand, expected: number): LoadedData {
  const form = command.form as VectorForm | null;
  const cells = command.columns.values.map(
    (name) => new NumberCells(table.field("--value", name), name, table.decimals),
  );
  const dimension = cells.length;
  const { records } = table;
  const rows = new GrowingNumbers(expected);
  const starts = new GrowingIndexes(expected);
  const vector = new Float64Array(dimension);
  let [vectors, incomplete, points, filled] = [0, 0, 0, 0];
  while (table.next()) {
    if (places.begins(records)) {
      starts.push(vectors);
      filled = 0;
    }
    let whole = true;
    for (let i = 0; i < dimension; i++) {
      const value = cells[i]!.read(records);
      vector[i] = value;
      if (Number.isNaN(value)) whole = false;
    }
    if (!whole) {
      incomplete += 1;
      continue;
    }
    for (let i = 0; i < dimension; i++) rows.push(vector[i]!);
    vectors += 1;
    filled += 1;
    if (filled === 1) points += 1;
  }
  starts.push(vectors);
  const all = { dimension, rows: rows.numbers(), starts: starts.indexes(), anew: places.anew(), incomplete };
  return { data: { kind: "vectors", form, vectors: all }, points };
}
