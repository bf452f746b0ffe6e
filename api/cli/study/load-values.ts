import { columnOf } from "../../../spc/model/column.ts";
import type { ValueForm } from "../../../spc/study/forms.ts";
import { GrowingIndexes, GrowingNumbers } from "./growing.ts";
import type { LoadedData } from "./load.ts";
import { NumberCells, type NumberKind } from "./number-cells.ts";
import type { StudyCommand } from "./options.ts";
import type { Places } from "./places.ts";
import { shown } from "./shown.ts";
import type { Table } from "./table.ts";

/** One column of single values, cut into places. */
export function loadValues(table: Table, places: Places, command: StudyCommand, expected: number): LoadedData {
  const { columns } = command;
  const form = command.form as ValueForm | null;
  const name = columns.values[0]!;
  const cells = new NumberCells(table.field("--value", name), name, table.decimals, kinds[form ?? ""] ?? {});
  const ofPart = partColumns(table, command, expected);
  const { records } = table;
  const values = new GrowingNumbers(expected);
  const starts = new GrowingIndexes(expected);
  let points = 0;
  let filled = 0;
  while (table.next()) {
    const begins = places.begins(records);
    if (begins) {
      starts.push(values.length);
      filled = 0;
    }
    ofPart?.take(begins);
    const value = cells.read(records);
    if (Number.isNaN(value)) continue;
    values.push(value);
    filled += 1;
    if (filled === 1) points += 1;
  }
  starts.push(values.length);
  const grouped = { values: values.numbers(), starts: starts.indexes(), anew: places.anew() };
  const parts = ofPart?.parts ?? null;
  const nominal = ofPart === null ? null : columnOf(ofPart.nominal.numbers());
  return { data: { kind: "values", form, values: grouped, parts, nominal }, points };
}

const kinds: Readonly<Record<string, NumberKind>> = {
  g: { whole: true, atLeastZero: true },
  t: { atLeastZero: true },
};

interface PartColumns {
  readonly parts: string[];
  readonly nominal: GrowingNumbers;
  take(begins: boolean): void;
}

/** Which part each place is, and its nominal value; both are one for all rows of a place. */
function partColumns(table: Table, { columns }: StudyCommand, expected: number): PartColumns | null {
  const { part, nominal: name } = columns;
  if (part === null || name === null) return null;
  const { records } = table;
  const field = table.field("--part", part);
  const cells = new NumberCells(table.field("--nominal", name), name, table.decimals, { required: true });
  const known = new Map<string, string>();
  const parts: string[] = [];
  const nominal = new GrowingNumbers(expected);
  let current: { readonly part: string; readonly nominal: number } | null = null;
  return {
    parts,
    nominal,
    take: (begins) => {
      const text = records.text(field);
      const value = cells.read(records);
      if (begins) {
        if (text.trim() === "")
          throw records.wrong(field, `${part}: found an empty field, expected the name of a part`);
        // Ten million places share the names of a few parts.
        const one = known.get(text) ?? text;
        known.set(one, one);
        current = { part: one, nominal: value };
        parts.push(one);
        nominal.push(value);
      } else if (text !== current?.part || value !== current.nominal) {
        const at = text === current?.part ? cells.field : field;
        const found = `found ${shown(records.text(at))} inside a subgroup of another`;
        throw records.wrong(at, `${at === field ? part : name}: ${found}, expected one part and nominal for its rows`);
      }
    },
  };
}
