import { columnOf, constantColumn } from "../../../spc/model/column.ts";
import type { CountForm } from "../../../spc/study/forms.ts";
import { GrowingNumbers } from "./growing.ts";
import type { LoadedData } from "./load.ts";
import { NumberCells } from "./number-cells.ts";
import type { StudyCommand } from "./options.ts";
import type { Places } from "./places.ts";
import { shown } from "./shown.ts";
import type { Table } from "./table.ts";

/** Counts, beside the sizes they were found in where there are any. */
export function loadCounts(table: Table, places: Places, command: StudyCommand, expected: number): LoadedData {
  const { count, size, subgroup } = command.columns;
  const form = command.form as CountForm | null;
  const counting = new NumberCells(table.field("--count", count!), count!, table.decimals, {
    whole: true,
    atLeastZero: true,
  });
  // Units of opportunity may be a fraction, such as square metres; pieces looked at may not.
  const ofPieces = form === "p" || form === "np" || form === "p-prime";
  const sizing =
    size === null
      ? null
      : new NumberCells(table.field("--size", size), size, table.decimals, {
          whole: ofPieces || form === null,
          atLeastZero: true,
          ...(form === null ? { else: " of pieces, or --chart u for areas" } : {}),
        });
  const { records } = table;
  const counts = new GrowingNumbers(expected);
  const sizes = new GrowingNumbers(sizing === null ? 0 : expected);
  let points = 0;
  while (table.next()) {
    if (!places.begins(records)) {
      const field = table.field("--subgroup", subgroup!);
      const found = `found ${shown(records.text(field))} on the row above too`;
      throw records.wrong(field, `${subgroup}: ${found}, expected one row of counts for each subgroup`);
    }
    const value = counting.read(records);
    const n = sizing?.read(records);
    if (ofPieces && n !== undefined && value > n)
      throw counting.unexpected(records, `at most ${n}, the ${size} of its row`);
    counts.push(value);
    if (n !== undefined) sizes.push(n);
    if (!Number.isNaN(value) && !Number.isNaN(n ?? 1)) points += 1;
  }
  const counted = {
    counts: columnOf(counts.numbers()),
    sizes: sizing === null ? constantColumn(1, counts.length) : columnOf(sizes.numbers()),
    anew: places.anew(),
  };
  return { data: { kind: "counts", form, counted, sized: sizing !== null }, points };
}
